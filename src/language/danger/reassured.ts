import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReaderSlot } from './reader-slots.ts';
import type { ReadText } from './text-spans.ts';

/** Signs of which a health worker who saw them may say that they are nothing: common practice, no source. */
const lighter: readonly (string | undefined)[] = [
  'jaundice',
  'cord-skin-infection',
  'eye-infection',
  'persistent-vomiting',
  'pale-stools',
  'abdominal-pain',
  'headache-vision',
  'wound',
  'foul-discharge',
  'breast-red-fever',
  'leg-swelling',
];

/**
 * "A bit yellow, the nurse said it is normal": a health worker's word of comfort after the sign, and nothing that takes it
 * back. `'lighter'` for a sign that such a word may settle, `'grave'` for one that is asked about all the same.
 */
export const reassured = (
  read: ReadText,
  phrases: DangerPhrases,
  match: PhraseMatch,
): 'no' | 'lighter' | 'grave' => {
  if (!read.present.has(phrases.slot.worker) || !read.present.has(phrases.slot['said-so'])) return 'no';
  const is = (at: number, name: ReaderSlot): boolean => startsAt(read, phrases, at, name);
  const within = (name: ReaderSlot, low: number, high: number): boolean => {
    for (let at = low; at < high && at < read.tokens.length; at++) if (is(at, name)) return true;
    return false;
  };
  const told = (at: number): boolean =>
    is(at, 'worker') &&
    within('said-so', at + 1, at + 5) &&
    within('fine', at + 1, at + 9) &&
    !within('not', at + 1, at + 9) &&
    !within('nahi', at + 1, at + 9);
  for (let at = match.to; at < match.to + 12 && at < read.tokens.length; at++) {
    if (is(at, 'again')) return 'no';
    if (!told(at)) continue;
    if (within('long-ago', at, at + 12)) return 'no';
    const end = read.tokens.length;
    if (within('but', at + 2, end) || within('again', at, end) || within('now-told', at + 2, end))
      return 'no';
    const { baby, mother } = match.phrase.meaning;
    const mild =
      match.phrase.detail.severe !== true &&
      match.phrase.detail.palmsOrSoles !== true &&
      (mother === undefined || match.phrase.detail.mild === true || match.spans.length === 1);
    const hint =
      match.phrase.unsure || match.phrase.detail.mild === true || within('mild', match.from - 3, match.to);
    const light = lighter.includes(baby ?? mother) && (baby === 'jaundice' || hint);
    return mild && light ? 'lighter' : 'grave';
  }
  return 'no';
};
