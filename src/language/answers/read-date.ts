import type { AnswerWords } from '../answer-words.ts';
import type { Asked, Reading, ReadingContext } from '../asked.ts';
import { calendarDay, daysBetween, daysLater, monthsEarlier, weekdayOf } from './calendar.ts';
import { isBacked, readAs, said, skipped, unclear, unknownWords } from './reading.ts';
import { type Item, scan, type Wanted } from './scan.ts';

type AskedDate = Extract<Asked, { readonly kind: 'date' }>;
interface Found {
  readonly date: string;
  readonly sure: boolean;
}

const wanted: Wanted = {
  kinds: ['month', 'weekday', 'day', 'unit', 'mark', 'part', 'ordinal', 'reply'],
  units: new Set(['minute', 'hour', 'day', 'week', 'month', 'year']),
  marks: new Set(['ago', 'old', 'last', 'next', 'day-of-month', 'oclock', 'or', 'to', 'about', 'but', 'and']),
};

/** Month words that are common words too: they count only beside a number. */
const weakMonths = new Set([
  'me',
  'may',
  'mai',
  'mar',
  'march',
  'jan',
  'sep',
  'dec',
  'मे',
  'नव',
  'जन',
  'सित',
  'अग',
  'दिस',
  'मई',
]);

/** The latest day not after today that fits; a missing month or year is the latest past one. */
function latestPast(day: number, month: number | undefined, today: string): string | undefined {
  const [year = 0, thisMonth = 1] = today.split('-').map(Number);
  for (let back = 0; back <= 60; back += 1) {
    const index = year * 12 + thisMonth - 1 - back;
    if (month !== undefined && (index % 12) + 1 !== month) continue;
    const found = calendarDay(Math.floor(index / 12), (index % 12) + 1, day);
    if (found !== undefined && found <= today) return found;
  }
  return undefined;
}

const fullYear = (digits: string | null, value: number): number | undefined =>
  digits?.length === 2 ? 2000 + value : value >= 1900 && value <= 2100 ? value : undefined;

function fromParts(
  day: number,
  month: number | undefined,
  year: number | undefined,
  today: string,
): string | undefined {
  if (month !== undefined && (month < 1 || month > 12)) return undefined;
  return year === undefined || month === undefined
    ? latestPast(day, month, today)
    : calendarDay(year, month, day);
}

/** Digits without separators: DDMMYYYY, YYYYMMDD, DDMMYY; DDMM is doubtful. */
function fromGlued(digits: string, today: string): Found | undefined {
  const part = (at: number, length: number): number => Number(digits.slice(at, at + length));
  if (digits.length === 8) {
    const first =
      calendarDay(part(4, 4), part(2, 2), part(0, 2)) ?? calendarDay(part(0, 4), part(4, 2), part(6, 2));
    return first === undefined ? undefined : { date: first, sure: true };
  }
  if (digits.length === 6) {
    const found = calendarDay(2000 + part(4, 2), part(2, 2), part(0, 2));
    return found === undefined ? undefined : { date: found, sure: true };
  }
  const found = digits.length === 4 ? fromParts(part(0, 2), part(2, 2), undefined, today) : undefined;
  return found === undefined ? undefined : { date: found, sure: false };
}

type Numeric = Extract<Item, { readonly kind: 'number' | 'ordinal' }>;

/** The numbers that make the date: without clock times, and without words that only sometimes are numbers. */
function dateNumbers(items: readonly Item[]): readonly Numeric[] {
  const numbers = items.filter((item): item is Numeric => {
    if (item.kind !== 'number' && item.kind !== 'ordinal') return false;
    const at = items.indexOf(item);
    const [before, next, after] = [items[at - 1], items[at + 1], items[at + 2]];
    if (next?.kind === 'part' || (next?.kind === 'mark' && next.name === 'oclock')) return false;
    if (next?.kind === 'sign' && next.text === ':' && after?.kind === 'number') return false;
    if (before?.kind === 'sign' && before.text === ':' && items[at - 2]?.kind === 'number') return false;
    return before?.kind !== 'part' || next?.kind === 'month';
  });
  const firm = numbers.filter(
    (item) => item.kind === 'ordinal' || !item.weak || isBacked(items, items.indexOf(item)),
  );
  return firm.length > 0 ? firm : numbers;
}

function fromNumbers(items: readonly Item[], today: string): Found | undefined {
  const months = items.filter((item) => item.kind === 'month');
  const allNumbers = dateNumbers(items);
  const named =
    months.find((month) => !weakMonths.has(month.word)) ??
    months.find((month) => {
      const at = items.indexOf(month);
      const near = [items[at - 1], items[at + 1], items[at - 2]];
      return near.some((item) => item?.kind === 'number' || item?.kind === 'ordinal');
    });
  const [a, b, c] = allNumbers;
  if (a === undefined) return undefined;
  const digitsOf = (item: Numeric): string | null => (item.kind === 'number' ? item.digits : null);
  if (named !== undefined) {
    if (allNumbers.length > 2) return undefined;
    const [day, year] = b !== undefined && digitsOf(a)?.length === 4 ? [b, a] : [a, b];
    if (day.value > 31) return undefined;
    const fullest = year === undefined ? undefined : fullYear(digitsOf(year), year.value);
    if (year !== undefined && fullest === undefined) return undefined;
    const date = fromParts(day.value, named.value, fullest, today);
    return date === undefined ? undefined : { date, sure: true };
  }
  if (b === undefined) {
    const digits = digitsOf(a);
    if (digits !== null && digits.length >= 4) return fromGlued(digits, today);
    const date = fromParts(a.value, undefined, undefined, today);
    // '10 <word>' may be ten of something unknown, not the tenth.
    const beside = items[items.indexOf(a) + 1];
    return date === undefined ? undefined : { date, sure: beside?.kind !== 'word' };
  }
  if (allNumbers.length > 3) return undefined;
  if (c !== undefined && digitsOf(a)?.length === 4) {
    const date = calendarDay(a.value, b.value, c.value);
    return date === undefined ? undefined : { date, sure: true };
  }
  const year = c === undefined ? undefined : fullYear(digitsOf(c), c.value);
  if (c !== undefined && year === undefined) return undefined;
  const date = fromParts(a.value, b.value, year, today);
  return date === undefined ? undefined : { date, sure: true };
}

const daysIn: Readonly<Record<string, number>> = { minute: 0, hour: 0, day: 1, week: 7 };

/** '3 days ago', '2 hafte pehle', '3 din ka'. */
function fromSpan(items: readonly Item[], today: string): Found | undefined {
  const mark = items.find((item) => item.kind === 'mark' && (item.name === 'ago' || item.name === 'old'));
  const spans = items.flatMap((item, i) => {
    const next = items[i + 1];
    return item.kind === 'number' && next?.kind === 'unit' ? [{ value: item.value, unit: next.name }] : [];
  });
  if (mark?.kind !== 'mark' || spans.length === 0 || !spans.every((span) => Number.isInteger(span.value)))
    return undefined;
  let date = today;
  let sure = mark.name === 'ago' && spans.length === 1;
  for (const { value, unit } of spans) {
    if (value > 2000) return undefined;
    const days = daysIn[unit];
    if (days === undefined) {
      date = monthsEarlier(date, unit === 'year' ? value * 12 : value);
      sure = false;
    } else date = daysLater(date, -value * days);
    if (unit === 'hour' || unit === 'minute') sure = false;
  }
  return { date, sure };
}

function fromDayWord(items: readonly Item[], today: string, past: boolean): Found | undefined {
  const days = items.filter((item) => item.kind === 'day');
  const [day] = days;
  if (day === undefined || new Set(days.map((d) => d.name)).size > 1) return undefined;
  switch (day.name) {
    case 'today':
      return { date: today, sure: true };
    case 'yesterday':
      return { date: daysLater(today, -1), sure: true };
    case 'tomorrow':
      return { date: daysLater(today, 1), sure: true };
    case 'near':
      return { date: daysLater(today, -1), sure: past };
    case 'next-to-near':
      return { date: daysLater(today, -2), sure: past };
    case 'day-before-yesterday':
      return { date: daysLater(today, -2), sure: true };
    case 'three-days-ago':
      return { date: daysLater(today, -3), sure: past };
    default:
      return day.name satisfies never;
  }
}

function fromWeekday(items: readonly Item[], today: string): Found | undefined {
  const weekdays = items.filter((item) => item.kind === 'weekday');
  const [weekday] = weekdays;
  if (weekday === undefined || weekdays.length > 1) return undefined;
  if (items.some((item) => item.kind === 'mark' && item.name === 'next')) return undefined;
  const back = (weekdayOf(today) - weekday.value + 7) % 7;
  return { date: daysLater(today, back === 0 ? -7 : -back), sure: back !== 0 };
}

/**
 * A day: day before month, a missing month or year the latest past one. Also 'aaj', 'kal' (yesterday when the past is
 * asked), 'somvar', '3 days ago'. A day that is not in the calendar, or not past when the past is asked, is unclear.
 */
export function readDate(
  text: string,
  asked: AskedDate,
  words: AnswerWords,
  context: ReadingContext,
): Reading {
  const items = scan(text, words, wanted);
  const { today } = context;
  if (items.some((item) => item.kind === 'mark' && (item.name === 'or' || item.name === 'but')))
    return unclear;
  const span = fromSpan(items, today);
  const dayWord = span === undefined ? fromDayWord(items, today, asked.past) : undefined;
  const hasDayWord = items.some((item) => item.kind === 'day');
  const numeric =
    span === undefined && !items.some((item) => item.kind === 'unit') ? fromNumbers(items, today) : undefined;
  if (hasDayWord && dayWord === undefined && span === undefined) return unclear;
  const weekday =
    span === undefined && numeric === undefined && dayWord === undefined && dateNumbers(items).length === 0
      ? fromWeekday(items, today)
      : undefined;
  const agree = numeric === undefined || dayWord === undefined || numeric.date === dayWord.date;
  const found = agree ? (span ?? numeric ?? dayWord ?? weekday) : undefined;
  if (found === undefined) return said(items, 'unsure', 'skip') ? skipped : unclear;
  if (asked.past && found.date > today) return unclear;
  const named = items.find((item) => item.kind === 'weekday');
  const fits = named === undefined || weekday !== undefined || weekdayOf(found.date) === named.value;
  const sure = found.sure && fits && !said(items, 'unsure') && unknownWords(items) <= 8;
  const within =
    asked.withinDays === undefined || Math.abs(daysBetween(found.date, today)) <= asked.withinDays;
  return readAs({ kind: 'date', date: found.date }, sure, within);
}
