import type { DangerPhrases, ReaderSlot } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReadText } from './text-spans.ts';

/** Whether a found phrase is told as so, is only possible (asked, supposed, past, half-denied), or is not so. */
export type Sureness = 'yes' | 'maybe' | 'no';

/** Weighs a found phrase by what stands around it: denied, over, long ago, or only supposed. */
export const sureness = (
  read: ReadText,
  phrases: DangerPhrases,
  match: PhraseMatch,
  undone: boolean,
): Sureness => {
  const { phrase } = match;
  const lasting = phrase.meaning.lasting;
  const is = (at: number, name: ReaderSlot): boolean => startsAt(read, phrases, at, name);
  if (phrase.unless.length > 0) {
    const [from, to] = sentence(read, match);
    for (let at = from; at < to; at++)
      if ((read.startingAt[at] ?? []).some((span) => phrase.unless.includes(span.slot))) return 'no';
  }
  if (undone) return lasting && phrase.unsure ? 'maybe' : 'no';
  if (isOver(read, phrases, match, is)) return lasting ? 'maybe' : 'no';
  const [from, to] = sentence(read, match);
  for (let at = from; at < to; at++) {
    if (is(at, 'suppose') && at <= match.from) return 'maybe';
    if (is(at, 'long-ago')) return 'maybe';
  }
  if (match.likeness === 2 && match.spans.some((span) => span.likeness === 2 && shortWord(read, span.from)))
    return 'maybe';
  return 'yes';
};

const shortWord = (read: ReadText, at: number): boolean => (read.tokens[at]?.word.length ?? 0) < 5;

const sentence = (read: ReadText, match: PhraseMatch): readonly [number, number] => {
  let from = match.from;
  let to = match.to;
  while (from > 0 && read.tokens[from]?.breakBefore !== 2) from--;
  while (to < read.tokens.length && read.tokens[to]?.breakBefore !== 2) to++;
  return [from, to];
};

/** "The fever has gone", "bukhar utar gaya", "had fever, now fine" with nobody else named in between. */
const isOver = (
  read: ReadText,
  phrases: DangerPhrases,
  match: PhraseMatch,
  is: (at: number, name: ReaderSlot) => boolean,
): boolean => {
  const notNear = (at: number): boolean => {
    for (let next = at - 4; next <= at + 3; next++)
      if (next >= match.to - 1 && (is(next, 'not') || is(next, 'nahi'))) return true;
    return false;
  };
  if (phrase(match)) {
    for (let at = match.to; at < match.to + 3 && at < read.tokens.length; at++) {
      if ((read.tokens[at]?.breakBefore ?? 0) > 0 || is(at, 'but')) break;
      if (is(at, 'over') && !notNear(at) && !comesBack(read, is, at)) return true;
    }
  }
  for (let at = match.to; at < read.tokens.length && at < match.to + 14; at++) {
    if (is(at, 'mother') || is(at, 'again')) return false;
    if (is(at, 'well-now')) return !notNear(at);
  }
  return false;
};

const phrase = (match: PhraseMatch): boolean => match.phrase.negatable;

const comesBack = (read: ReadText, is: (at: number, name: ReaderSlot) => boolean, from: number): boolean => {
  for (let at = from; at < from + 6 && at < read.tokens.length; at++)
    if (is(at, 'again') || is(at, 'but')) return true;
  return false;
};
