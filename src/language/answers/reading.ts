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

/** Whether something beside a number word shows that it is meant as a number: another number, 'times' or a unit. */
export function isBacked(items: readonly Item[], at: number): boolean {
  const [before, next] = [items[at - 1], items[at + 1]];
  if (before?.kind === 'number' || next?.kind === 'number' || next?.kind === 'unit') return true;
  const joins = (item: Item | undefined): boolean =>
    (item?.kind === 'mark' && ['to', 'or', 'and', 'about'].includes(item.name)) ||
    (item?.kind === 'sign' && item.text === '-');
  if (next?.kind === 'mark' && next.name === 'times') return true;
  return (
    (joins(before) && items[at - 2]?.kind === 'number') || (joins(next) && items[at + 2]?.kind === 'number')
  );
}

/**
 * The numbers of a text. A word that also means something else ('do', 'ek') counts only when it stands as a number, or when
 * there is no other number.
 */
export function numbersOf(items: readonly Item[]): readonly NumberItem[] {
  const numbers = items.filter((item) => item.kind === 'number');
  const firm = numbers.filter((item) => !item.weak || isBacked(items, items.indexOf(item)));
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
