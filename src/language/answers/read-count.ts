import type { AnswerWords } from '../answer-words.ts';
import type { Asked, Range, Reading } from '../asked.ts';
import {
  type NumberItem,
  numbersOf,
  readAs,
  said,
  skipped,
  tooManyWords,
  unclear,
  unknownWords,
} from './reading.ts';
import { type Item, scan, type Wanted } from './scan.ts';

type AskedNumber = Extract<Asked, { readonly kind: 'count' | 'hours' }>;

const wanted: Wanted = {
  numbers: { decimals: true },
  kinds: ['unit', 'mark', 'part', 'none', 'reply'],
  units: new Set([
    'kilogram',
    'gram',
    'pound',
    'ounce',
    'minute',
    'hour',
    'day',
    'week',
    'month',
    'celsius',
    'fahrenheit',
  ]),
  marks: new Set(['and', 'about', 'times', 'to', 'or', 'per-day', 'every', 'more', 'less', 'but', 'filler']),
};

const weightUnits = new Set(['kilogram', 'gram', 'pound', 'ounce', 'celsius', 'fahrenheit']);
const timeUnits = new Set(['hour', 'day', 'week', 'month', 'minute']);

/** Whether two numbers are the ends of one range, and whether that is beyond doubt. */
function rangeOf(
  items: readonly Item[],
  low: NumberItem,
  high: NumberItem,
): { range: Range; sure: boolean } | undefined {
  const from = items.indexOf(low);
  const to = items.indexOf(high);
  const between = items.slice(from + 1, to);
  const range = { min: Math.min(low.value, high.value), max: Math.max(low.value, high.value) };
  const rising = low.value < high.value;
  if (between.length === 0) {
    // 'aath das', 'do teen' is how Hindi and Marathi say a range; two numbers in digits may be two answers.
    const inWords = low.digits === null && high.digits === null;
    const gap = high.value - low.value;
    if (gap === 1) return high.glued ? undefined : { range, sure: inWords };
    return inWords && (gap === 2 || (gap === 5 && low.value % 5 === 0)) ? { range, sure: true } : undefined;
  }
  const joins = between.filter(
    (item) => !(item.kind === 'mark' && (item.name === 'times' || item.name === 'about')),
  );
  const [join] = joins;
  if (joins.length !== 1 || join === undefined) return undefined;
  const before = items[from - 1];
  const isBetween =
    join.kind === 'mark' && join.name === 'and' && before?.kind === 'mark' && before.name === 'to';
  if (join.kind === 'mark' && (join.name === 'to' || join.name === 'or')) return { range, sure: rising };
  if (isBetween || (join.kind === 'sign' && join.text === '-')) return { range, sure: rising };
  if (join.kind === 'sign' && (join.text === '/' || join.text === '~')) return { range, sure: false };
  return undefined;
}

const marked = (items: readonly Item[], ...names: readonly string[]): boolean =>
  items.some((item) => item.kind === 'mark' && names.includes(item.name));

/** A number that belongs to the span she counted over ('in 1 day') and not to the count itself. */
function isSpan(items: readonly Item[], number: NumberItem): boolean {
  const next = items[items.indexOf(number) + 1];
  return next?.kind === 'unit' && timeUnits.has(next.name);
}

/**
 * How many times or how many hours. A range keeps both ends; 'none' is 0; a number outside the range asked is read and
 * flagged. Two numbers that are no range, an interval ('every 2 hours') and weights are unclear.
 */
export function readCount(text: string, asked: AskedNumber, words: AnswerWords): Reading {
  const items = scan(text, words, wanted);
  const answer = (value: number | Range, sure: boolean): Reading => {
    const ends = typeof value === 'number' ? [value] : [value.min, value.max];
    return readAs(
      { kind: asked.kind, value },
      sure,
      ends.every((end) => end >= asked.min && end <= asked.max),
    );
  };
  if (said(items, 'unsure', 'skip') && numbersOf(items).length === 0) return skipped;
  if (said(items, 'skip')) return unclear;
  if (items.some((item) => item.kind === 'unit' && weightUnits.has(item.name) && item.end - item.at > 1))
    return unclear;
  // Beside a 'no', a word that may be no number is none ('did not'), save the one of 'not even one'.
  const all = numbersOf(items).filter((number) => !number.weak || number.value === 1 || !said(items, 'no'));
  if (asked.kind === 'hours') return readHours(items, all, answer);
  const numbers = all.filter((number) => !isSpan(items, number));
  if (numbers.length === 0) {
    // '2 din se nahi hui': the number is how long, not how many.
    if (said(items, 'none')) return answer(0, all.length === 0);
    if (said(items, 'no', 'weak-no')) return answer(0, false);
    if (all.length > 0 && !(all.length === 1 && isLone(items))) return unclear;
  }
  // 'ek … nahi' is not even one, however it is put.
  if (all.length === 1 && all[0]?.weak === true && all[0].value === 1 && said(items, 'no'))
    return answer(0, false);
  const usable = numbers.length > 0 ? numbers : all;
  const [first, second] = usable;
  if (first === undefined || marked(items, 'every', 'but') || items.some(isMinus)) return unclear;
  if (said(items, 'none')) return unclear;
  const certain =
    !marked(items, 'more', 'less') &&
    !said(items, 'unsure', 'no') &&
    !(items.at(-1)?.kind === 'mark' && text.trim().endsWith('+')) &&
    unknownWords(items) <= tooManyWords;
  if (usable.length === 1)
    return Number.isInteger(first.value) ? answer(first.value, certain && first.exact) : unclear;
  if (usable.length > 2 || second === undefined) return unclear;
  const range = rangeOf(items, first, second);
  if (range !== undefined && Number.isInteger(first.value) && Number.isInteger(second.value)) {
    return answer(range.range, range.sure && certain);
  }
  // 'din me 6 raat me 3': day and night apart.
  const parts = items.filter(
    (item) =>
      item.kind === 'part' ||
      (item.kind === 'unit' && item.name === 'day') ||
      (item.kind === 'mark' && item.name === 'per-day'),
  ).length;
  return parts >= 2 ? answer(first.value + second.value, false) : unclear;
}

/** One number with a one-letter unit is more likely '6 h' for '6 hai' than six hours. */
const isLone = (items: readonly Item[]): boolean =>
  items.every((item) => item.kind !== 'unit' || item.end - item.at === 1);

/** '-3': a count is never negative. */
const isMinus = (item: Item, i: number, items: readonly Item[]): boolean =>
  item.kind === 'sign' && item.text === '-' && i === 0 && items[1]?.kind === 'number' && items[1].glued;

const hoursIn: Readonly<Record<string, number>> = { minute: 1 / 60, hour: 1, day: 24, week: 168 };

function readHours(
  items: readonly Item[],
  numbers: readonly NumberItem[],
  answer: (value: number | Range, sure: boolean) => Reading,
): Reading {
  const [first, second] = numbers;
  if (first === undefined) {
    const one = items.find((item) => item.kind === 'unit');
    if (one?.kind === 'unit' && items[0] === one && items.length <= 2)
      return answer(hoursIn[one.name] ?? 1, false);
    return said(items, 'none') ? answer(0, true) : said(items, 'no', 'weak-no') ? answer(0, false) : unclear;
  }
  const unitAfter = (number: NumberItem): number | undefined => {
    const next = items[items.indexOf(number) + 1];
    return next?.kind === 'unit' ? hoursIn[next.name] : undefined;
  };
  const certain = !marked(items, 'more', 'less', 'every', 'but') && unknownWords(items) <= tooManyWords;
  const rounded = (hours: number): number => Math.round(hours * 100) / 100;
  if (second === undefined)
    return answer(rounded(first.value * (unitAfter(first) ?? 1)), certain && first.exact);
  if (numbers.length > 2) return unclear;
  const range = rangeOf(items, first, second);
  if (range !== undefined && unitAfter(first) === undefined) {
    const unit = unitAfter(second) ?? 1;
    return answer(
      { min: rounded(range.range.min * unit), max: rounded(range.range.max * unit) },
      range.sure && certain,
    );
  }
  const [big, small] = [unitAfter(first), unitAfter(second)];
  return big !== undefined && small !== undefined && big > small
    ? answer(rounded(first.value * big + second.value * small), certain)
    : unclear;
}
