import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
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
export const widerClauseOf = (read: ReadText, phrases: DangerPhrases, match: PhraseMatch): Clause => {
  const { low, high } = clauseOf(read, match);
  const before = low > 0 ? (read.clauseFrom[low - 1] ?? low) : low;
  const after = read.clauseTo[high] ?? high;
  return {
    low: tellsOnly(read, phrases, before, low) ? before : low,
    high: tellsOnly(read, phrases, high, after) ? after : high,
  };
};

/** Few words, and nobody else's: in "last week the nurse came" the week is the nurse's. */
const tellsOnly = (read: ReadText, phrases: DangerPhrases, from: number, to: number): boolean => {
  if (to - from > FEW) return false;
  for (let at = from; at < to; at++)
    if (startsAt(read, phrases, at, 'worker') || startsAt(read, phrases, at, 'other-person')) return false;
  return true;
};
