import type { AnswerWords } from '../answer-words.ts';
import type { Age, Reading } from '../asked.ts';
import { readAs, said, skipped, unclear, unknownWords } from './reading.ts';
import { scan, type Wanted } from './scan.ts';

const wanted: Wanted = {
  numbers: { decimals: true },
  kinds: ['unit', 'mark', 'day', 'reply'],
  units: new Set(['hour', 'day', 'week', 'month', 'year']),
  marks: new Set(['and', 'about', 'old', 'or', 'to', 'but', 'more', 'less', 'ago']),
};

const nameOf = { day: 'days', week: 'weeks', month: 'months', year: 'years' } as const;

/** An age in the units she used. A number without a unit is unclear: days, weeks and months are all likely. */
export function readAge(text: string, words: AnswerWords): Reading {
  const items = scan(text, words, wanted).filter(
    (item) => !(item.kind === 'word' && words.articles.has(item.text)),
  );
  const parts: { unit: string; value: number }[] = [];
  let loose = 0;
  for (let i = 0; i < items.length; i += 1) {
    const [item, next, after, last] = items.slice(i, i + 4);
    if (item?.kind !== 'number') continue;
    if (next?.kind === 'unit') {
      // '6 months and a half': the half belongs to the unit before it.
      const half =
        after?.kind === 'mark' && after.name === 'and' && last?.kind === 'number' && last.value === 0.5;
      parts.push({ unit: next.name, value: item.value + (half ? 0.5 : 0) });
      i += half ? 3 : 1;
    } else if (!item.weak || next?.kind === 'number') loose += 1;
  }
  const mark = (...names: readonly string[]): boolean =>
    items.some((i) => i.kind === 'mark' && names.includes(i.name));
  const sure = !mark('more', 'less') && !said(items, 'unsure') && unknownWords(items) <= 8;
  if (parts.length === 0) {
    const day = items.find((item) => item.kind === 'day');
    if (loose === 0 && day?.kind === 'day' && day.name === 'today')
      return readAs({ kind: 'age', age: { days: 0 } }, false);
    if (loose === 0 && day?.kind === 'day' && (day.name === 'yesterday' || day.name === 'near')) {
      return readAs({ kind: 'age', age: { days: 1 } }, false);
    }
    return loose === 0 && said(items, 'unsure', 'skip') ? skipped : unclear;
  }
  if (loose > 0 || mark('or', 'but') || new Set(parts.map((part) => part.unit)).size < parts.length)
    return unclear;
  if (items.some((item) => item.kind === 'sign' && (item.text === '-' || item.text === '/'))) return unclear;
  const [first] = parts;
  if (parts.length === 1 && first?.unit === 'hour') {
    return readAs({ kind: 'age', age: { days: Math.floor(first.value / 24) } }, sure);
  }
  const age: { -readonly [K in keyof Age]: Age[K] } = {};
  for (const { unit, value } of parts) if (unit !== 'hour') age[nameOf[unit as keyof typeof nameOf]] = value;
  return readAs({ kind: 'age', age }, sure);
}
