import type { ContentFile } from './content-file.ts';
import { type Budget, budgets, otherValues, type WantedText } from './content-texts.ts';
import { isSevenBit, textLength } from './text-length.ts';

/** The three files of one language, parsed. */
export interface LanguageTexts {
  readonly language: string;
  readonly foods: ContentFile;
  readonly dishes: ContentFile;
  readonly customs: ContentFile;
}

/** What stands at a place of a file, or undefined. */
export const textAt = (file: ContentFile, at: readonly string[]): unknown =>
  at.reduce<unknown>((tree, name) => (isTree(tree) ? tree[name] : undefined), file.data);

/** The texts of one section by name; what is no text is left out. */
export function section(file: ContentFile, name: string): Readonly<Record<string, string>> {
  const tree = textAt(file, [name]);
  if (!isTree(tree)) return {};
  return Object.fromEntries(
    Object.entries(tree).flatMap(([id, text]) => (typeof text === 'string' ? [[id, text]] : [])),
  );
}

/** What is wrong with one wanted text in one language. `english`: the texts to compare values with, null for English itself. */
export function textProblems(
  { file, at, budget, filled }: WantedText,
  texts: LanguageTexts,
  english: LanguageTexts | null,
): readonly string[] {
  const text = textAt(texts[file], at);
  if (typeof text !== 'string' || text.trim() === '') {
    return [texts[file].problem(at, 'missing text: write it in this language')];
  }
  const problems: string[] = [];
  const names = section(texts.foods, 'food');
  let longest = text;
  for (const name of valuesOf(text)) {
    const other = otherValues[name];
    const fillers =
      filled[name]?.map((food) => names[food] ?? '') ?? (other === undefined ? [] : ['x'.repeat(other)]);
    if (fillers.length === 0) {
      const allowed = Object.keys(filled).join(', ') || 'no name';
      problems.push(texts[file].problem(at, `nothing fills {{${name}}}; it can use ${allowed}`));
    }
    const most = fillers.reduce((long, one) => (textLength(one) > textLength(long) ? one : long), '');
    longest = longest.replace(`{{${name}}}`, most);
  }
  const model = english === null ? text : textAt(english[file], at);
  if (typeof model === 'string' && sorted(valuesOf(model)) !== sorted(valuesOf(text))) {
    const should = sorted(valuesOf(model)) || 'none';
    problems.push(texts[file].problem(at, `uses other values than the English text, which has ${should}`));
  }
  if (mustBeSevenBit(texts.language) && !isSevenBit(longest.replace(/[{}]/gu, ''))) {
    problems.push(
      texts[file].problem(
        at,
        'a letter outside the 7-bit alphabet makes this text cost more: spell it plainly',
      ),
    );
  }
  problems.push(...overBudget(longest, budget).map((what) => texts[file].problem(at, what)));
  return problems;
}

/** Says when a text takes more places than its budget has. */
export function overBudget(text: string, budget: Budget): readonly string[] {
  const most = isSevenBit(text) ? budgets[budget].sevenBit : budgets[budget].ucs2;
  const length = textLength(text);
  return length > most ? [`${length} letters at its longest, ${most} fit: make it shorter`] : [];
}

/** Texts that nothing uses: most often a name that was changed in one place only. */
export function staleTexts(wanted: readonly WantedText[], texts: LanguageTexts): readonly string[] {
  const known = new Set(wanted.map(({ file, at }) => [file, ...at].join('.')));
  const stale: string[] = [];
  for (const file of ['foods', 'dishes', 'customs'] as const) {
    const walk = (tree: unknown, at: readonly string[]): void => {
      if (isTree(tree)) for (const [name, below] of Object.entries(tree)) walk(below, [...at, name]);
      else if (!known.has([file, ...at].join('.'))) {
        stale.push(texts[file].problem(at, 'nothing uses this text: take it out or mend its name'));
      }
    };
    walk(texts[file].data, []);
  }
  return stale;
}

const valuesOf = (text: string): readonly string[] =>
  [...text.matchAll(/\{\{\s*([^}\s]*)\s*\}\}/gu)].map((found) => found[1] ?? '');
const sorted = (names: readonly string[]): string => [...new Set(names)].sort().join(', ');

/** English and languages in Latin letters are sent as 7-bit texts. */
const mustBeSevenBit = (language: string): boolean => language === 'en' || language.endsWith('-Latn');

const isTree = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
