import { ageInDays } from '../care/age.ts';
import type { Reading } from '../language/asked.ts';
import type { Field } from './flow.ts';

/** A "no" in a sentence is no count: "i have no milk i think", "no no it is ok now". More words than "no wet nappies today". */
export function withoutStrayNo(
  text: string,
  figures: readonly Field[],
  readings: Readonly<Record<string, Reading>>,
): Readonly<Record<string, Reading>> {
  const read = Object.entries(readings).filter(([, reading]) => reading.kind === 'read');
  const [only] = read;
  const reading = only?.[1];
  const isStray =
    only !== undefined &&
    read.length === 1 &&
    reading?.kind === 'read' &&
    (reading.answer.kind === 'count' || reading.answer.kind === 'hours') &&
    reading.answer.value === 0 &&
    figures.length > 1 &&
    !/\p{N}/u.test(text) &&
    text.trim().split(/\s+/u).length > 4;
  return isStray ? { ...readings, [only[0]]: { kind: 'unclear' } } : readings;
}

/** Days after which a birthday told without its year is asked back: it may be the day on which a baby is expected. */
const longAgoDays = 300;

/**
 * Whether a birthday read from a text is so long ago, with no year told, that it is asked back.
 * @param born YYYY-MM-DD
 * @param today YYYY-MM-DD
 */
export function isLongAgo(born: string, text: string, today: string): boolean {
  const hasYear = /\p{N}{4}|\p{N}\P{N}+\p{N}+\P{N}+\p{N}{2}/u.test(text);
  return !hasYear && ageInDays(born, today) > longAgoDays;
}
