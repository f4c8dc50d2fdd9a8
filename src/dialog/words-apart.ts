import type { FieldsReading, Reading } from '../language/asked.ts';
import type { Field } from './flow.ts';

type Readings = FieldsReading['readings'];

/**
 * Parts a text that answers figures and free words at once: "1 1 my nipple hurts", "16 Nov Asha", "Asha 1 2.9".
 * Where every figure is a single press (a choice, a yes or no) the figures come first and what follows is her words. Else
 * the words are whatever can be taken off the end, then off the start, without changing a figure.
 * @param notWords words that belong to the figures ("kg", "girl")
 * @param isNumber whether a word is a number, which is never a name
 */
export function wordsApart(
  text: string,
  figures: readonly Field[],
  readFigures: (text: string) => Readings,
  notWords: ReadonlySet<string>,
  isNumber: (word: string) => boolean,
): { readonly readings: Readings; readonly words: string } {
  const tokens = text.trim().split(/\s+/u);
  if (figures.length === 0) return { readings: {}, words: text };
  const isPressed = figures.every((f) => f.kind === 'choice' || f.kind === 'yes-no');
  if (isPressed) {
    for (let end = 1; end < tokens.length; end++) {
      const readings = readFigures(tokens.slice(0, end).join(' '));
      if (figures.every((f) => isSure(readings[f.field])))
        return { readings, words: tokens.slice(end).join(' ') };
    }
    return { readings: readFigures(text), words: '' };
  }
  const whole = readFigures(text);
  const same = JSON.stringify(whole);
  const date = figures.find((f) => f.kind === 'date')?.field;
  // "16 Nov" and "16" can be the same day; a word that makes a date with a day and a year is a month, not a name.
  const isMonth = (token: string) => date !== undefined && isSure(readFigures(`2 ${token} 2020`)[date]);
  const isWord = (token: string | undefined) =>
    token !== undefined &&
    !isMonth(token) &&
    /^\p{L}[\p{L}\p{M}.'-]*[,.]?$/u.test(token) &&
    !notWords.has(token.toLowerCase().replace(/[.,]+$/u, '')) &&
    !isNumber(token);
  const unchanged = (from: number, to: number) =>
    from < to && JSON.stringify(readFigures(tokens.slice(from, to).join(' '))) === same;
  let to = tokens.length;
  while (isWord(tokens[to - 1]) && unchanged(0, to - 1)) to--;
  let from = 0;
  if (to === tokens.length) while (isWord(tokens[from]) && unchanged(from + 1, to)) from++;
  const words = [...tokens.slice(0, from), ...tokens.slice(to)].join(' ').replace(/[,.]+$/u, '');
  return { readings: whole, words };
}

/** Whether a reading can be taken without asking back. */
export function isSure(reading: Reading | undefined): boolean {
  return reading?.kind === 'read' && reading.sure && reading.inRange;
}
