import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { ReadText } from './text-spans.ts';

/** Whose sign it is: named in the words, or not told. `other` is a person who is neither this mother nor this baby. */
export type Whose = 'baby' | 'mother' | 'other' | 'unknown';

const whoAt = (read: ReadText, phrases: DangerPhrases, at: number): Whose => {
  // In "meri maa" the "maa" is nobody of this line: the longer saying began before.
  for (let before = Math.max(0, at - 2); before < at; before++)
    for (const span of read.startingAt[before] ?? [])
      if (span.slot === phrases.slot['other-person'] && span.to > at) return 'other';
  // "नर्स आई थी": the Hindi "came" is the Marathi "mother".
  if (read.tokens[at]?.word === 'आई' && startsAt(read, phrases, at + 1, 'be')) return 'unknown';
  if (isAddress(read, phrases, at)) return 'unknown';
  let who: Whose = 'unknown';
  let longest = 0;
  for (const span of read.startingAt[at] ?? []) {
    const one: Whose =
      span.slot === phrases.slot['other-person']
        ? 'other'
        : span.slot === phrases.slot.baby
          ? 'baby'
          : span.slot === phrases.slot.mother
            ? 'mother'
            : span.slot === phrases.slot.respected
              ? 'other'
              : 'unknown';
    if (one === 'unknown' || span.to - span.from <= longest) continue;
    who = one;
    longest = span.to - span.from;
  }
  return who;
};

/** "Thank you sister, …", "didi, …": a word to the counsellor, before a pause and after no "my" or "her". */
const isAddress = (read: ReadText, phrases: DangerPhrases, at: number): boolean => {
  if (!startsAt(read, phrases, at, 'address')) return false;
  const next = read.tokens[at + 1];
  if (next !== undefined && next.breakBefore === 0 && !startsAt(read, phrases, at - 1, 'thanks'))
    return false;
  return !startsAt(read, phrases, at - 1, 'own') && !startsAt(read, phrases, at - 1, 'pronoun');
};

/** The person named nearest before a match in its sentence, else within or just after it, else in the sentence before. */
export const whoseSign = (read: ReadText, phrases: DangerPhrases, from: number, to: number): Whose => {
  for (let at = to - 1; at >= 0; at--) {
    const who = whoAt(read, phrases, at);
    if (who !== 'unknown') return settled(read, phrases, at, who);
    if (at <= from && read.tokens[at]?.breakBefore === 2) break;
  }
  let apart = read.tokens[to]?.breakBefore === 1;
  for (let at = to; at < read.tokens.length && at < to + 6 && read.tokens[at]?.breakBefore !== 2; at++) {
    // "Burning up, hot, and i give only breast milk": a new part of the sentence is no longer about the sign.
    if ((read.tokens[at]?.breakBefore === 1 && at > to) || startsAt(read, phrases, at, 'and-word'))
      apart = true;
    const who = whoAt(read, phrases, at);
    if (who === 'baby' || (who !== 'unknown' && !apart)) return who;
    if (who !== 'unknown') break;
  }
  for (let at = from - 1; at >= 0 && at > from - 14; at--) {
    const who = whoAt(read, phrases, at);
    if (who !== 'unknown') return settled(read, phrases, at, who);
  }
  return 'unknown';
};

/** "My baby" is the baby, and "my sister's baby" is another's: a person just before changes whose it is. */
const settled = (read: ReadText, phrases: DangerPhrases, at: number, who: Whose): Whose => {
  if (who === 'other' && startsAt(read, phrases, at, 'respected')) return respected(read, phrases, at);
  if (who !== 'baby') return who;
  for (let before = at - 1; before >= 0 && before >= at - 2; before--) {
    if (read.tokens[before + 1]?.breakBefore !== 0) break;
    const beside = before === at - 1 || startsAt(read, phrases, at - 1, 'has-word');
    if (beside && whoAt(read, phrases, before) === 'other') return 'other';
  }
  return who;
};

/** True when someone is named within three words before a match or in it: then it is hers or his without doubt. */
export const namedClose = (read: ReadText, phrases: DangerPhrases, from: number, to: number): boolean => {
  for (let at = to - 1; at >= 0 && at >= from - 3; at--) {
    if (whoAt(read, phrases, at) !== 'unknown') return true;
    if (at <= from && read.tokens[at]?.breakBefore === 2) return false;
  }
  return false;
};

/** "Unko": the person named before it in the text, and when nobody is, most often the husband. */
const respected = (read: ReadText, phrases: DangerPhrases, at: number): Whose => {
  for (let before = at - 1; before >= 0 && before > at - 14; before--) {
    const who = whoAt(read, phrases, before);
    if (who !== 'unknown') return who;
  }
  return 'other';
};
