import type { Token } from './text-tokens.ts';
import type { Vocabulary } from './vocabulary.ts';

const FIGURE_LETTERS: Readonly<Record<string, string>> = {
  '0': 'o',
  '1': 'i',
  '3': 'e',
  '4': 'a',
  '5': 's',
  '7': 't',
};
/** A word written without spaces is looked at from this length, up to that one, and at most so many in a text. */
const SHORTEST_RUN = 9;
const LONGEST_RUN = 60;
const MOST_RUNS = 10;
/** The longest listed word that is tried inside a run of letters. */
const LONGEST_PART = 12;
/** The fewest letters a part has on average: below it the parts are scraps of a name of a place. */
const SHORTEST_PARTS = 3.4;

/**
 * Puts right what a keypad does to words: a figure for a letter ("c4nt w4ke") and words run together
 * ("babynotfeeding"), only where the outcome is made of listed words. `clean` is the text that the tokens were cut from.
 */
export const mendTokens = (
  tokens: readonly Token[],
  clean: string,
  vocabulary: Vocabulary,
): readonly Token[] => {
  const whole = tokens.some((token) => token.number !== undefined)
    ? withLetters(tokens, clean, vocabulary)
    : tokens;
  let runs = 0;
  let cut = false;
  const out = whole.flatMap((token) => {
    const length = token.end - token.start;
    if (token.number !== undefined || length < SHORTEST_RUN || length > LONGEST_RUN) return [token];
    if (vocabulary.listed(token.word) || ++runs > MOST_RUNS) return [token];
    const word = clean.slice(token.start, token.end);
    if (vocabulary.known(word).length > 0) return [token];
    const parts = partsOf(word, vocabulary);
    if (parts === undefined) return [token];
    cut = true;
    let start = token.start;
    return parts.map((part, at): Token => {
      const from = start;
      start += part.length;
      return {
        word: part,
        number: undefined,
        start: from,
        end: start,
        breakBefore: at === 0 ? token.breakBefore : 0,
      };
    });
  });
  return cut ? out : whole;
};

/** "c", "4", "nt" with nothing between them become "cant" when that is a listed word. */
const withLetters = (tokens: readonly Token[], clean: string, vocabulary: Vocabulary): readonly Token[] => {
  const out: Token[] = [];
  for (let at = 0; at < tokens.length; at++) {
    const token = tokens[at];
    if (token === undefined) break;
    let last = at;
    while (tokens[last + 1]?.start === tokens[last]?.end && last - at < 6) last++;
    const end = tokens[last]?.end ?? token.end;
    const written = clean.slice(token.start, end);
    if (last > at && /^[a-z][a-z013457]*[a-z]$/u.test(written)) {
      const word = written.replace(/[013457]/gu, (figure) => FIGURE_LETTERS[figure] ?? figure);
      if (vocabulary.listed(word)) {
        out.push({ ...token, word, number: undefined, end });
        at = last;
        continue;
      }
    }
    out.push(token);
  }
  return out;
};

/** The fewest listed words that a run of letters is made of; undefined when it is not, or only of scraps. */
const partsOf = (run: string, vocabulary: Vocabulary): readonly string[] | undefined => {
  const best: (readonly string[] | undefined)[] = [[]];
  for (let end = 2; end <= run.length; end++) {
    for (let start = Math.max(0, end - LONGEST_PART); start <= end - 2; start++) {
      const before = best[start];
      if (before === undefined || (best[end]?.length ?? Number.POSITIVE_INFINITY) <= before.length + 1)
        continue;
      const part = run.slice(start, end);
      if (vocabulary.listed(part)) best[end] = [...before, part];
    }
  }
  const parts = best[run.length];
  return parts !== undefined && parts.length > 1 && run.length / parts.length >= SHORTEST_PARTS
    ? parts
    : undefined;
};
