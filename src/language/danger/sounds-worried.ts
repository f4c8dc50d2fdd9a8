import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReaderSlot } from './reader-slots.ts';
import type { ReadText } from './text-spans.ts';
import { whoseSign } from './whose-sign.ts';

/** A word of worry outside the signs that are over or denied, that nothing beside it denies ("no pain", "dard nahi") or gives to another household's person. */
export const soundsWorried = (
  read: ReadText,
  phrases: DangerPhrases,
  settled: readonly PhraseMatch[],
): boolean => {
  const is = (at: number, name: ReaderSlot): boolean => startsAt(read, phrases, at, name);
  return read.startingAt.some((spans, from) =>
    spans.some(({ slot, to }) => {
      if (slot !== phrases.slot.worry || settled.some((match) => match.from <= from && from < match.to))
        return false;
      const denied = is(from - 1, 'not') || is(from - 2, 'not') || is(to, 'nahi');
      for (let at = to; at < to + 6 && read.tokens[at]?.breakBefore !== 2 && !is(at, 'but'); at++)
        if (is(at, 'own-fine') || (is(at, 'fine') && !is(at - 1, 'not') && !is(at + 1, 'nahi'))) return false;
      return (
        !denied &&
        !(whoseSign(read, phrases, from, to) === 'other' && !read.present.has(phrases.slot['now-told']))
      );
    }),
  );
};
