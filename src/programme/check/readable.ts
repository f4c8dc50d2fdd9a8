import { type Finding, problem } from './finding.ts';
import type { Leaf } from './leaves.ts';
import { segmentsOf } from './segments.ts';

/** Characters that keypad phones of the language show: GSM-7 for Latin ones, Devanagari and plain ASCII for the others. */
export function checkCharacters(
  file: string,
  script: 'Latin' | 'Devanagari',
  leaves: ReadonlyMap<string, Leaf>,
): readonly Finding[] {
  return [...leaves].flatMap(([key, { text }]): readonly Finding[] => {
    if (
      key.startsWith('label.') ||
      key.startsWith('option.') ||
      key === 'language.name' ||
      key === 'language.also'
    )
      return [];
    if (script === 'Latin') {
      const plain = text.replace(/\{\{\s*\w+\s*\}\}/gu, '');
      return segmentsOf(plain).encoding === 'GSM-7'
        ? []
        : [
            problem(
              `${file}: "${key}" holds "${foreign(plain)}", which doubles the cost of the text: use GSM-7 characters only`,
            ),
          ];
    }
    const odd = /[^\u0900-\u097F\u0020-\u007E\n\u200C\u200D]/u.exec(text);
    return odd === null
      ? []
      : [problem(`${file}: "${key}" holds "${odd[0]}", which keypad phones may not show`)];
  });
}

function foreign(text: string): string {
  return [...text].find((c) => segmentsOf(c).encoding !== 'GSM-7') ?? '?';
}

/** A grade of 8 is a text for a reader of about 13 years. */
const hardestGrade = 8;
const fewestWords = 8;

/**
 * How hard an English text is, in school years: the Flesch-Kincaid grade, 0.39 words a sentence + 11.8 syllables a word -
 * 15.59. Source: Kincaid, Fishburne, Rogers, Chissom, 1975, Derivation of new readability formulas, US Navy.
 */
export function readingGrade(text: string): number {
  const sentences = text.split(/[.!?:\n]+/u).filter((s) => /\p{L}/u.test(s)).length || 1;
  const words = text.match(/[A-Za-z']+/gu) ?? [];
  if (words.length === 0) return 0;
  const syllables = words.reduce((sum, w) => sum + syllablesOf(w), 0);
  return 0.39 * (words.length / sentences) + 11.8 * (syllables / words.length) - 15.59;
}

/** Vowel groups, less a silent e at the end; at least one. A common estimate, no source. */
function syllablesOf(word: string): number {
  const groups =
    word
      .toLowerCase()
      .replace(/(?:[^laeiouy]es|[^l]e|ed)$/u, '')
      .match(/[aeiouy]+/gu) ?? [];
  return Math.max(1, groups.length);
}

export function checkReadingEase(file: string, leaves: ReadonlyMap<string, Leaf>): readonly Finding[] {
  return [...leaves].flatMap(([key, { text }]): readonly Finding[] => {
    const plain = text.replace(/\{\{\s*\w+\s*\}\}/gu, 'name');
    const isForMothers =
      !/^(label|option|sign|reason|alert|outcome|counsellor|kitchen\.word|ask\.check-in\.mood|field\.(interest|low))/u.test(
        key,
      );
    if (!isForMothers || (plain.match(/[A-Za-z']+/gu) ?? []).length < fewestWords) return [];
    const grade = readingGrade(plain);
    return grade <= hardestGrade
      ? []
      : [
          problem(
            `${file}: "${key}" reads at grade ${grade.toFixed(1)}; use shorter sentences and words (at most ${hardestGrade})`,
          ),
        ];
  });
}
