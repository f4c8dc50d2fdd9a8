import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { ReadText } from './text-spans.ts';
import type { ReaderSlot } from './reader-slots.ts';

/** A temperature or a breath count told in a text, with the tokens that say so. */
export interface ToldFigure {
  readonly kind: 'temperature' | 'breaths';
  /** Degrees Celsius to one decimal, or breaths in a minute. */
  readonly value: number;
  readonly from: number;
  readonly to: number;
}

const near = (
  read: ReadText,
  phrases: DangerPhrases,
  at: number,
  name: ReaderSlot,
  before: number,
  after: number,
): boolean => {
  for (
    let next = at - 1;
    next >= 0 && next >= at - before && read.tokens[next + 1]?.breakBefore !== 2;
    next--
  )
    if (startsAt(read, phrases, next, name)) return true;
  for (let next = at + 1; next <= at + after && read.tokens[next] !== undefined; next++) {
    if (read.tokens[next]?.breakBefore === 2) break;
    if (startsAt(read, phrases, next, name)) return true;
  }
  return false;
};

/**
 * Temperatures (34-43 C, or 94-109 F turned into Celsius) and breath counts (15-150) named as such in the text. A bare
 * number is a temperature only beside a word of fever, heat or degrees, or written with a decimal in that range.
 */
export const toldFigures = (read: ReadText, phrases: DangerPhrases): readonly ToldFigure[] => {
  const found: ToldFigure[] = [];
  read.tokens.forEach((token, at) => {
    const { number } = token;
    if (number === undefined) return;
    const close = (name: ReaderSlot, before: number, after: number): boolean =>
      near(read, phrases, at, name, before, after);
    const degrees = close('degrees', 0, 1) || close('fahrenheit', 0, 2);
    if (number >= 15 && number <= 150 && Number.isInteger(number) && close('breath', 5, 5) && !degrees) {
      found.push({ kind: 'breaths', value: number, from: at, to: at + 1 });
      return;
    }
    // In "tapman 102 h" and "100.4 h" the "h" is Hindi "hai": beside heat, and in tenths, nobody counts hours.
    const isHai =
      read.tokens[at + 1]?.word === 'h' && (!Number.isInteger(number) || close('temperature', 4, 0));
    // "Thermometer lagaya dono baar 100": the "baar" before the figure counts the times, not what is measured.
    const counted = close('weight', 0, 1) || (close('weight', 2, 0) && !close('temperature-word', 4, 0));
    if ((counted && !close('temperature', 1, 0)) || (!isHai && close('hours-unit', 0, 1))) return;
    const heat = degrees || close('temperature', 4, 3);
    const fahrenheit = number >= 94 && number <= 109 && (heat || !Number.isInteger(number));
    const celsius =
      number >= 34 && number <= 43 && (heat || (!Number.isInteger(number) && number >= 35 && number <= 42));
    if (!fahrenheit && !celsius) return;
    const value = fahrenheit ? ((number - 32) * 5) / 9 : number;
    found.push({ kind: 'temperature', value: Math.round(value * 10) / 10, from: at, to: at + 1 });
  });
  return found;
};

/** The hours told nearest to a match in its sentence ("8 hours", "since yesterday" as 24), or undefined. */
export const toldHours = (
  read: ReadText,
  phrases: DangerPhrases,
  from: number,
  to: number,
): number | undefined => {
  let low = from;
  let high = to;
  while (low > 0 && low > from - 8 && read.tokens[low]?.breakBefore !== 2) low--;
  while (high < read.tokens.length && high < to + 8 && read.tokens[high]?.breakBefore !== 2) high++;
  for (let at = low; at < high; at++) {
    const number = read.tokens[at]?.number;
    if (number !== undefined && number >= 1 && number <= 96 && near(read, phrases, at, 'hours-unit', 0, 1))
      return number;
  }
  for (let at = low; at < high; at++) if (startsAt(read, phrases, at, 'day-long')) return 24;
  return undefined;
};
