import type { AnswerWords } from '../answer-words.ts';
import type { PartName } from './words-file.ts';
import type { Reading } from '../asked.ts';
import { readAs, said, skipped, unclear, unknownWords } from './reading.ts';
import { scan, type Wanted } from './scan.ts';

const wanted: Wanted = {
  kinds: ['part', 'mark', 'reply', 'unit'],
  numbers: {},
  units: new Set(['minute', 'hour']),
  marks: new Set(['oclock', 'about', 'or', 'to', 'past', 'but', 'and']),
};

const day = 24 * 60;

/** The hour on a 24-hour clock; undefined when the part of the day does not fit the hour. Common practice, no source. */
function hourWithPart(hour: number, part: PartName): number | undefined {
  if (hour > 12) return hour < 24 ? hour : undefined;
  const twelve = hour % 12;
  switch (part) {
    case 'am':
    case 'morning':
      return twelve;
    case 'pm':
      return twelve + 12;
    case 'noon':
    case 'afternoon':
      return hour === 11 || hour === 10 ? hour : twelve <= 5 ? twelve + 12 : undefined;
    case 'evening':
      return twelve >= 3 && twelve <= 10 ? twelve + 12 : undefined;
    case 'night':
      return twelve >= 6 ? twelve + 12 : twelve;
    case 'midnight':
      return hour === 12 ? 0 : twelve <= 3 ? twelve : undefined;
    default:
      return part satisfies never;
  }
}

/**
 * A time of day as minutes after midnight. '5 baje' alone is doubtful: it may be morning or evening, and is read as the
 * one between 7 and 18 o'clock.
 */
export function readTimeOfDay(text: string, words: AnswerWords): Reading {
  const items = scan(text, words, wanted);
  const spoken = scan(text, words, { ...wanted, numbers: { decimals: true } });
  const parts = items.filter((item) => item.kind === 'part');
  const part = parts.find((p) => p.name === 'am' || p.name === 'pm') ?? parts[0];
  const numbers = items.filter((item) => item.kind === 'number');
  const [first, second] = numbers;
  const answer = (minuteOfDay: number, sure: boolean): Reading =>
    minuteOfDay >= 0 && minuteOfDay < day
      ? readAs({ kind: 'time-of-day', minuteOfDay }, sure && unknownWords(items) <= 8)
      : unclear;
  if (first === undefined) {
    if (part?.name === 'noon') return answer(12 * 60, true);
    if (part?.name === 'midnight') return answer(0, true);
    return said(items, 'unsure', 'skip') ? skipped : unclear;
  }
  if (items.some((i) => i.kind === 'mark' && (i.name === 'or' || i.name === 'but'))) return unclear;
  let hour: number;
  let minute = 0;
  const mark = items.find((i) => i.kind === 'mark' && (i.name === 'past' || i.name === 'to'));
  if (
    second !== undefined &&
    mark?.kind === 'mark' &&
    numbers.length === 2 &&
    items.indexOf(mark) > items.indexOf(first)
  ) {
    const amount = first.value < 1 ? first.value * 60 : first.value;
    hour = mark.name === 'to' ? second.value - 1 : second.value;
    minute = mark.name === 'to' ? 60 - amount : amount;
    if (mark.name === 'to' && first.digits !== null && second.digits !== null) return unclear;
  } else if (second !== undefined) {
    if (numbers.length > 2 || (first.digits === null && second.digits !== null)) return unclear;
    hour = first.value;
    minute = second.value;
    if (items.some((i) => i.kind === 'sign' && i.text === '-')) return unclear;
  } else {
    const digits = first.digits;
    const half = spoken.find((item) => item.kind === 'number')?.value ?? first.value;
    if (digits !== null && (digits.length === 4 || digits.length === 3)) {
      hour = Math.floor(first.value / 100);
      minute = first.value % 100;
    } else {
      hour = Math.floor(half);
      minute = Math.round((half - hour) * 60);
    }
  }
  if (!Number.isInteger(minute) || minute < 0 || minute > 59 || hour < 0 || hour > 23) return unclear;
  if (part !== undefined) {
    const known = hourWithPart(hour, part.name);
    return known === undefined ? unclear : answer(known * 60 + minute, true);
  }
  if (hour > 12 || hour === 0) return answer(hour * 60 + minute, true);
  const likely = hour >= 7 ? hour : hour + 12;
  return answer(likely * 60 + minute, false);
}
