/** What a text tells of one baby. */
export interface BabyShare {
  /** From 0. */
  readonly baby: number;
  readonly words: string;
}

/**
 * Parts a text of a mother of twins or triplets by the names in it, before or after what is told: "Noel 5 5 3 1", "Joy 9 3 6 4
 * Noel 8 3 6 3", "9 3 6 4 Joy 8 3 6 3 Noel". Without names, figures for all the babies at once are shared out in order.
 * @param names those of all her babies, in order; null where there is none
 * @param current the baby that she is asked about
 * @param figures how many figures are asked of each baby
 * @returns undefined when the text is all about the baby that she is asked about
 */
export function shareByBaby(
  text: string,
  names: readonly (string | null)[],
  current: number,
  figures: number,
): readonly BabyShare[] | undefined {
  if (names.length < 2) return undefined;
  const tokens = text.trim().split(/[\s,;]+/u);
  const known = names.map((name) => name?.toLowerCase());
  if (new Set(known).size < known.length) return inOrder(tokens, names.length, current, figures);
  const found = tokens.flatMap((token, at) => {
    const baby = known.indexOf(token.toLowerCase().replace(/[.:=-]+$/u, ''));
    return baby === -1 ? [] : [{ baby, at }];
  });
  const [first] = found;
  if (first === undefined) return inOrder(tokens, names.length, current, figures);
  if (new Set(found.map((f) => f.baby)).size < found.length) return undefined;
  const isAfter = first.at > 0 && found.at(-1)?.at === tokens.length - 1;
  const shares = found.map(({ baby, at }, i) => ({
    baby,
    words: (isAfter
      ? tokens.slice(i === 0 ? 0 : (found[i - 1]?.at ?? 0) + 1, at)
      : tokens.slice(at + 1, found[i + 1]?.at)
    ).join(' '),
  }));
  const lead = isAfter ? '' : tokens.slice(0, first.at).join(' ');
  const isOwn = /[\d०-९]/u.test(lead) && !found.some((f) => f.baby === current);
  return isOwn ? [{ baby: current, words: lead }, ...shares] : shares;
}

function inOrder(
  tokens: readonly string[],
  count: number,
  current: number,
  figures: number,
): readonly BabyShare[] | undefined {
  const numbers = tokens.filter((token) => /^[\d०-९]+$/u.test(token));
  const others = tokens.length - numbers.length;
  if (current !== 0 || figures < 3 || numbers.length !== count * figures || others >= count) return undefined;
  return Array.from({ length: count }, (_, baby) => ({
    baby,
    words: numbers.slice(baby * figures, (baby + 1) * figures).join(' '),
  }));
}
