import type { PhraseMatch } from './phrase-matches.ts';
import type { ReadText } from './text-spans.ts';

/** A part of a text: tokens `low` up to, not including, `high`. */
export interface Clause {
  readonly low: number;
  readonly high: number;
}

/** A clause of so few words is no story of its own: "that was last week". */
const FEW = 5;

/** Between commas, a "but", and an "and" that somebody else follows: what is told there is told of the match. */
export const clauseOf = (read: ReadText, { from, to }: PhraseMatch): Clause => ({
  low: read.clauseFrom[from] ?? 0,
  high: read.clauseTo[to - 1] ?? read.tokens.length,
});

/** The same with the clause before and after it where they are of few words: "last week, he had fever", "fever, it was long ago". */
export const widerClauseOf = (read: ReadText, match: PhraseMatch): Clause => {
  const { low, high } = clauseOf(read, match);
  const before = low > 0 ? (read.clauseFrom[low - 1] ?? low) : low;
  const after = read.clauseTo[high] ?? high;
  return { low: low - before <= FEW ? before : low, high: after - high <= FEW ? after : high };
};
