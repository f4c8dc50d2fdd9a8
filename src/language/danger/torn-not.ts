import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReadText, Span } from './text-spans.ts';

/** "Not hot, feeding well": the "not" has its own word before the comma, and what follows is no list of denials. */
export const torn = (read: ReadText, phrases: DangerPhrases, { spans }: PhraseMatch): boolean => {
  if (tornAfter(read, phrases, spans)) return true;
  // A phrase may name its "no" as a word of its own.
  const not = spans.find((span) => span.to - span.from === 1 && startsAt(read, phrases, span.from, 'not'));
  const next = spans.find((span) => not !== undefined && span.from >= not.to);
  if (not === undefined || next === undefined || read.tokens[not.to]?.breakBefore !== 0) return false;
  const between = read.tokens.slice(not.to + 1, next.from + 1);
  const listed = read.tokens.slice(not.to, next.to + 2).some(({ word }) => word === 'or' || word === 'nor');
  return !listed && between.some(({ breakBefore }) => breakBefore === 1);
};

/** "6 peshab, dard nahi": the "nahi" has its own word after the comma, and denies nothing before it. */
const tornAfter = (read: ReadText, phrases: DangerPhrases, spans: readonly Span[]): boolean => {
  const nahi = spans.find((span) => span.slot === phrases.slot.nahi);
  if (nahi === undefined || startsAt(read, phrases, nahi.from, 'pre-not')) return false;
  const before = spans.filter((span) => span.to <= nahi.from).at(-1);
  if (before === undefined || before.to === nahi.from || spans.at(-1) !== nahi) return false;
  let comma = nahi.from;
  while (comma > before.to && read.tokens[comma]?.breakBefore !== 1) comma--;
  const own = read.tokens.slice(comma, nahi.from);
  return (
    read.tokens[comma]?.breakBefore === 1 &&
    own.length > 0 &&
    !own.every((_, at) => isLink(read, phrases, comma + at))
  );
};

/** Words that a "nahi" may have before it and still speak of what stands before the comma: "bilkul nahi", "ab nahi". */
const isLink = (read: ReadText, phrases: DangerPhrases, at: number): boolean =>
  (['now-told', 'even', 'severe', 'baby', 'mother', 'day-long', 'list-and', 'but', 'persist'] as const).some(
    (name) => startsAt(read, phrases, at, name),
  );

/** "Susu 3 bar, dard nahi": the "nahi" has its own ache right before it, which no word of the phrase is. */
export const ofAche = (read: ReadText, phrases: DangerPhrases, { spans }: PhraseMatch): boolean => {
  const nahi = spans.find((span) => span.slot === phrases.slot.nahi);
  if (nahi === undefined || !startsAt(read, phrases, nahi.from - 1, 'ache')) return false;
  const ends = nahi.to >= read.tokens.length || read.tokens[nahi.to]?.breakBefore !== 0;
  return ends && !spans.some((span) => span.from < nahi.from && nahi.from <= span.to);
};
