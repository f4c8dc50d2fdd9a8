import type { WordsFile } from './words-file.ts';
import { normalise } from './normalise.ts';

/**
 * Words that are written as one, with their parts: 'sadeteen' is 'sade teen', 'thirtytwo' is 'thirty two', 'donshe' is two and
 * hundred, 'charda' is four and times. Only joins of one file's own words.
 */
export function joinedWords(files: readonly WordsFile[]): ReadonlyMap<string, readonly string[]> {
  const joined = new Map<string, readonly string[]>();
  const oneWord = (written: readonly string[], parts: readonly string[] = written): void => {
    if (written.every((part) => !part.includes(' '))) joined.set(written.join(''), parts);
  };
  for (const file of files) {
    const spelt = (value: number): readonly string[] => (file.numbers[String(value)] ?? []).map(normalise);
    const upTo = (most: number): readonly string[] =>
      Array.from({ length: most }, (_, i) => spelt(i + 1)).flat();
    const first = (list: readonly string[]): string => normalise(list[0] ?? '');
    const hundreds = file.endings.hundred.map(normalise);
    const hundred = first(file.hundred);
    for (const prefix of [
      ...file.fractions['plus-half'],
      ...file.fractions['plus-quarter'],
      ...file.fractions['minus-quarter'],
    ].map(normalise)) {
      for (const number of upTo(19)) {
        oneWord([prefix, number]);
        for (const ending of hundreds) oneWord([prefix, number, ending], [prefix, number, hundred]);
      }
    }
    const halves = [...file.fractions['one-and-half'], ...file.fractions['two-and-half']].map(normalise);
    for (const ending of hundreds) {
      for (const number of [...upTo(99), ...halves]) oneWord([number, ending], [number, hundred]);
    }
    for (const ending of file.endings.times.map(normalise)) {
      for (const number of upTo(20)) oneWord([number, ending], [number, first(file.marks.times)]);
    }
    for (const ending of file.endings.ago.map(normalise)) {
      for (const unit of [...file.units.day, ...file.units.week, ...file.units.month, ...file.units.year].map(
        normalise,
      )) {
        oneWord([unit, ending], [unit, first(file.marks.ago)]);
      }
    }
    if (file.numbers['21'] === undefined) {
      for (const ten of [20, 30, 40, 50, 60, 70, 80, 90]) {
        for (const tens of spelt(ten)) for (const unit of upTo(9)) oneWord([tens, unit]);
      }
    }
  }
  return joined;
}
