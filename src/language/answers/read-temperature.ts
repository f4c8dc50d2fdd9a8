import type { AnswerWords } from '../answer-words.ts';
import type { Reading } from '../asked.ts';
import { numbersOf, readAs, said, skipped, unclear, unknownWords } from './reading.ts';
import { scan, type Wanted } from './scan.ts';

const wanted: Wanted = {
  numbers: { decimals: true, decimalComma: true },
  kinds: ['unit', 'mark', 'reply'],
  units: new Set(['celsius', 'fahrenheit', 'degree']),
  marks: new Set(['about', 'or', 'to', 'but', 'more', 'less', 'and']),
};

/** What a thermometer shows of a living person, in degrees Celsius; common practice, no source. */
const shown = { least: 30, most: 45 } as const;

const toCelsius = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;

/**
 * A body temperature in degrees Celsius, to a tenth. Without a unit the number tells the scale: 30-45 can only be Celsius
 * and 86-113 only Fahrenheit. '985' and '38 5' lost their point, and are doubtful.
 */
export function readTemperature(text: string, words: AnswerWords): Reading {
  const items = scan(text, words, wanted);
  const numbers = numbersOf(items);
  const [first, second] = numbers;
  if (first === undefined) return said(items, 'unsure', 'skip', 'no') ? skipped : unclear;
  if (items.some((item) => item.kind === 'mark' && ['or', 'to', 'but'].includes(item.name))) return unclear;
  let { value } = first;
  let sure = unknownWords(items) <= 8 && !said(items, 'unsure') && first.exact;
  if (second !== undefined) {
    const pointless =
      numbers.length === 2 && items.indexOf(second) === items.indexOf(first) + 1 && second.value <= 9;
    if (!pointless || !Number.isInteger(value)) return unclear;
    value += second.value / 10;
    sure = false;
  } else if (first.digits !== null && value >= 300 && value <= 1130) {
    value /= 10;
    sure = false;
  }
  const unit = items.find((item) => item.kind === 'unit' && item.name !== 'degree');
  const named = unit?.kind === 'unit' ? unit.name : undefined;
  const scale =
    value >= shown.least && value <= shown.most
      ? 'celsius'
      : value >= 86 && value <= 113
        ? 'fahrenheit'
        : named;
  if (scale === undefined) return unclear;
  const celsius = Math.round((scale === 'fahrenheit' ? toCelsius(value) : value) * 10) / 10;
  const inRange = celsius >= shown.least && celsius <= shown.most;
  return readAs({ kind: 'temperature', celsius }, sure && (named === undefined || named === scale), inRange);
}
