import type { AnswerValue, Reading } from '../asked.ts';
import type { Item } from './scan.ts';

/** A number found in a text. */
export type NumberItem = Extract<Item, { readonly kind: 'number' }>;

/** A reading that gave a value. */
export const readAs = (answer: AnswerValue, sure = true, inRange = true): Reading => ({
  kind: 'read',
  answer,
  sure,
  inRange,
});

/** Nothing usable: ask again. */
export const unclear: Reading = { kind: 'unclear' };

/** She said that she does not know, or to go on. */
export const skipped: Reading = { kind: 'skipped' };

/** The numbers of a text. Beside digits, words that also mean something else ('do', 'ek') are not counted. */
export function numbersOf(items: readonly Item[]): readonly NumberItem[] {
  const numbers = items.filter((item) => item.kind === 'number');
  const firm = numbers.filter((item) => !item.weak);
  return firm.length > 0 ? firm : numbers;
}

/** Whether any of the replies named was found. */
export const said = (items: readonly Item[], ...names: readonly string[]): boolean =>
  items.some((item) => item.kind === 'reply' && names.includes(item.name));

/** Words that no list knows. A long text around one number is more likely a story than an answer. */
export const unknownWords = (items: readonly Item[]): number =>
  items.filter((item) => item.kind === 'word').length;

/** So many unknown words make a reading doubtful. */
export const tooManyWords = 8;
