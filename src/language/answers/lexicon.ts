import { normalise, type Token, tokenise } from './normalise.ts';
import { SlipTable } from './slip-table.ts';

/** Words or phrases with what they mean, found however they are spelt. */
export interface Lexicon<Meaning> {
  /** The longest phrase that begins at token `at`; undefined when none does. `exact` is false for a folded spelling. */
  match(tokens: readonly Token[], at: number): Match<Meaning> | undefined;
}

export interface Match<Meaning> {
  readonly meaning: Meaning;
  /** How many tokens it took. */
  readonly length: number;
  readonly exact: boolean;
}

/** Latin words shorter than this are taken as they are: folded, 'at' would be 'aat', eight. */
const shortestLightFold = 4;
/** Shortest folded word that may stand for another spelling: below this too many words of other meaning fold alike. */
const shortestHeavyFold = 4;

/**
 * Builds the tables once. A folded spelling that would mean two things means nothing.
 * @param entries phrase and meaning; the first meaning of a phrase stays
 * @param options `typos`: one wrong, missing, added or swapped letter is forgiven in words of 6 letters or more
 */
export function lexicon<Meaning extends string | number>(
  entries: Iterable<readonly [phrase: string, meaning: Meaning]>,
  options: { readonly typos?: boolean } = {},
): Lexicon<Meaning> {
  const exact = new Map<string, Meaning>();
  const light = new Map<string, Meaning | null>();
  const heavy = new Map<string, Meaning | null>();
  const slips = new SlipTable<Meaning>();
  /** How many tokens the longest phrase has that opens so. */
  const opens = new Map<string, number>();
  const add = (table: Map<string, Meaning | null>, key: string, meaning: Meaning): void => {
    const known = table.get(key);
    table.set(key, known === undefined || known === meaning ? meaning : null);
  };
  for (const [phrase, meaning] of entries) {
    const tokens = tokenise(normalise(phrase));
    const [first] = tokens;
    if (first === undefined) continue;
    for (const opening of [first.text, first.light, first.heavy]) {
      opens.set(opening, Math.max(opens.get(opening) ?? 0, tokens.length));
    }
    const key = tokens.map((token) => token.text).join(' ');
    if (!exact.has(key)) exact.set(key, meaning);
    add(light, tokens.map((token) => token.light).join(' '), meaning);
    const heavyKey = tokens.map((token) => token.heavy).join(' ');
    if (heavyKey.length >= shortestHeavyFold) add(heavy, heavyKey, meaning);
    if (options.typos === true && tokens.length === 1) slips.add(key, meaning);
  }
  const phraseAt = (tokens: readonly Token[], at: number, most: number): Match<Meaning> | undefined => {
    for (let length = Math.min(most, tokens.length - at); length >= 1; length -= 1) {
      let [key, lightKey, heavyKey] = ['', '', ''];
      for (let i = at; i < at + length; i += 1) {
        const gap = i === at ? '' : ' ';
        key += gap + (tokens[i]?.text ?? '');
        lightKey += gap + (tokens[i]?.light ?? '');
        heavyKey += gap + (tokens[i]?.heavy ?? '');
      }
      const same = exact.get(key);
      if (same !== undefined) return { meaning: same, length, exact: true };
      const folds = key.length >= shortestLightFold || !/^[a-z]/u.test(key);
      const near = folds ? light.get(lightKey) : undefined;
      if (near !== undefined && near !== null) return { meaning: near, length, exact: true };
      const far = heavyKey.length >= shortestHeavyFold ? heavy.get(heavyKey) : undefined;
      if (far !== undefined && far !== null) return { meaning: far, length, exact: false };
    }
    return undefined;
  };
  return {
    match(tokens, at) {
      const first = tokens[at];
      if (first === undefined) return undefined;
      const asWritten = opens.get(first.text) ?? 0;
      const most =
        first.kind === 'word'
          ? Math.max(asWritten, opens.get(first.light) ?? 0, opens.get(first.heavy) ?? 0)
          : asWritten;
      const found = most === 0 ? undefined : phraseAt(tokens, at, most);
      if (found !== undefined || first.kind !== 'word') return found;
      const slip = slips.meaningOf(first.text);
      return slip === undefined ? undefined : { meaning: slip, length: 1, exact: false };
    },
  };
}
