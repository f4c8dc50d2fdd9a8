import type { PhraseMatch } from './phrase-matches.ts';
import type { ReaderSlot } from './reader-slots.ts';

/**
 * A film, the news or a cow is spoken of. "Gaay ka dudh" and "murgi ke ande jitna" are no story, nor is what is told of the
 * baby or the mother after the cow was fed.
 */
export const tellsStory = (
  match: PhraseMatch,
  from: number,
  to: number,
  is: (at: number, name: ReaderSlot) => boolean,
  any: (name: ReaderSlot, low: number, high: number) => boolean,
): boolean => {
  for (let at = from; at < to; at++) {
    if (!is(at, 'story') || is(at + 1, 'animal-food')) continue;
    if (is(at + 1, 'has-word') && is(at + 2, 'animal-food')) continue;
    const fed = is(at, 'animal') && (any('baby', at + 1, match.to) || any('mother', at + 1, match.to));
    if (!fed) return true;
  }
  return false;
};
