import type { AnswerWords } from '../answer-words.ts';
import type { Asked, Reading } from '../asked.ts';
import { readAs, skipped, unclear } from './reading.ts';
import { scan } from './scan.ts';

/** Her own words, with single spaces. Longer than asked is cut and flagged. Only 'skip' words: skipped. */
export function readWords(
  text: string,
  asked: Extract<Asked, { kind: 'words' }>,
  words: AnswerWords,
): Reading {
  const tidy = text
    .normalize('NFC')
    .replace(/[\s\p{Cc}]+/gu, ' ')
    .trim();
  if (!/[\p{L}\p{N}]/u.test(tidy)) return unclear;
  const items = scan(tidy, words, { kinds: ['reply'] });
  const [only] = items;
  if (items.length === 1 && only?.kind === 'reply' && (only.name === 'skip' || only.name === 'unsure'))
    return skipped;
  const letters = [...tidy];
  return readAs(
    { kind: 'words', text: letters.slice(0, asked.maxLength).join('') },
    true,
    letters.length <= asked.maxLength,
  );
}
