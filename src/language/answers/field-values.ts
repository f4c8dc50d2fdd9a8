import type { AnswerWords } from '../answer-words.ts';
import { type Item, scan, type Wanted } from './scan.ts';

const wanted: Wanted = {
  numbers: { decimals: true },
  kinds: ['none', 'reply', 'mark', 'unit'],
  units: new Set(['kilogram', 'gram', 'pav', 'pound', 'ounce']),
  marks: new Set(['to', 'or', 'about', 'times', 'and', 'filler', 'per-day']),
};

/** Whether an item can be the answer to a field by itself. */
const isValue = (item: Item): boolean =>
  item.kind === 'number' ||
  (item.kind === 'reply' && item.name !== 'weak-yes') ||
  (item.kind === 'sign' && item.text === '?');

/** How many items from `at` belong to the weight that its unit has ended: '3 kilo' + '200 gram', '7 lb' + '8 oz'. */
function restOfWeight(items: readonly Item[], at: number): number {
  const unit = items[at - 1];
  if (unit?.kind !== 'unit' || (unit.name !== 'kilogram' && unit.name !== 'pound')) return 0;
  const first = items[at];
  const gap = first?.kind === 'mark' && first.name === 'and' ? 1 : 0;
  const [number, smaller] = items.slice(at + gap);
  if (number?.kind !== 'number') return 0;
  if (smaller?.kind === 'unit' && smaller.name !== unit.name) return gap + 2;
  return unit.name === 'kilogram' && number.value >= 100 && number.value < 1000 ? gap + 1 : 0;
}

/** A value that stands in a text, as written. `isNumber` is false for 'none', 'yes' and the like. */
export interface FieldValue {
  readonly text: string;
  readonly isNumber: boolean;
}

/** The values of a normalised text in order: numbers with their units, ranges as one, and words that answer by themselves. */
export function fieldValues(text: string, words: AnswerWords): readonly FieldValue[] {
  const items = scan(text, words, wanted);
  const values: { at: number; end: number; isNumber: boolean }[] = [];
  for (let i = 0; i < items.length; i += 1) {
    const item = items[i];
    if (item === undefined) break;
    if (item.kind === 'unit') {
      const last = values.at(-1);
      const more = restOfWeight(items, i + 1);
      if (last !== undefined) last.end = items[i + more]?.end ?? item.end;
      i += more;
      continue;
    }
    if (!isValue(item)) continue;
    const [join, next] = [items[i + 1], items[i + 2]];
    const joins =
      (join?.kind === 'sign' && join.text === '-') ||
      (join?.kind === 'mark' && (join.name === 'to' || join.name === 'or'));
    const isRange = item.kind === 'number' && joins && next?.kind === 'number';
    values.push({ at: item.at, end: isRange ? next.end : item.end, isNumber: item.kind === 'number' });
    if (isRange) i += 2;
  }
  return values.map(({ at, end, isNumber }) => ({ text: text.slice(at, end), isNumber }));
}
