import { nameClashes } from '../../language/food-names.ts';
import { type ContentFile, type ContentText, openContent, schemaProblems } from './content-file.ts';
import { type Budget, budgets, otherValues, type WantedText, wantedTexts } from './content-texts.ts';
import { customAnswer, customsFile, openCustoms } from './customs.ts';
import { dishesFile, dishProblems } from './dishes.ts';
import { foodsFile, openFoods } from './foods.ts';
import { requirementsFile } from './requirement.ts';
import { isSevenBit, textLength } from './text-length.ts';

/**
 * Everything wrong with the foods, dishes, customs and needs and their texts in every language, each with file and line: an unknown food, a
 * portion with no weight, a missing or stale text, a value that a text may not use, a text over its budget at its longest, letters that a 7-bit
 * text cannot carry, one spelling for two foods. Empty: all is well.
 * @param files `flows/{foods,dishes,customs,requirements}.yaml` and `locales/<language>/{foods,dishes,customs}.yaml`; others are ignored
 */
export function checkFoodContent(files: readonly ContentText[]): readonly string[] {
  const problems: string[] = [];
  const open = (path: string): ContentFile | null => {
    const text = files.find((file) => file.path === path);
    if (text === undefined) {
      problems.push(`${path}: no such file; every language and the flows need it`);
      return null;
    }
    const opened = openContent(text);
    problems.push(...opened.problems);
    return opened.problems.length > 0 ? null : opened.file;
  };
  const foodsText = open('flows/foods.yaml');
  const dishesText = open('flows/dishes.yaml');
  const customsText = open('flows/customs.yaml');
  const needsText = open('flows/requirements.yaml');
  if (needsText !== null) problems.push(...schemaProblems(needsText, requirementsFile));
  if (foodsText === null || dishesText === null || customsText === null) return problems;
  for (const [file, schema] of [
    [foodsText, foodsFile],
    [dishesText, dishesFile],
    [customsText, customsFile],
  ] as const) {
    problems.push(...schemaProblems(file, schema));
  }
  const foods = foodsFile.safeParse(foodsText.data);
  const dishes = dishesFile.safeParse(dishesText.data);
  const customs = customsFile.safeParse(customsText.data);
  if (!foods.success || !dishes.success || !customs.success) return problems;
  const known = openFoods(foodsText.data);
  for (const { path, problem } of dishProblems(dishes.data, known))
    problems.push(dishesText.problem(path, problem));
  for (const [id, custom] of Object.entries(customs.data.customs)) {
    for (const food of custom.foods.filter((one) => !known.has(one))) {
      problems.push(customsText.problem(['customs', id, 'foods'], `no food named "${food}" in foods.yaml`));
    }
  }
  const wanted = wantedTexts({
    foods: foods.data.foods,
    dishes: dishes.data.dishes,
    customs: customs.data.customs,
  });
  const spellings = [];
  for (const language of languagesOf(files)) {
    const opened = {
      foods: open(`locales/${language}/foods.yaml`),
      dishes: open(`locales/${language}/dishes.yaml`),
      customs: open(`locales/${language}/customs.yaml`),
    };
    if (opened.foods === null || opened.dishes === null || opened.customs === null) continue;
    const texts: LanguageTexts = {
      language,
      foods: opened.foods,
      dishes: opened.dishes,
      customs: opened.customs,
    };
    problems.push(...wanted.flatMap((one) => textProblems(one, texts)), ...staleTexts(wanted, texts));
    spellings.push({
      language,
      names: section(texts.foods, 'food'),
      spelled: section(texts.foods, 'foodSpelled'),
    });
    if (customsAreSound(customs.data.customs, known)) {
      problems.push(...answerProblems(customsText, texts, known));
    }
  }
  problems.push(
    ...nameClashes(spellings).map((clash) => `locales, foods.yaml, ${clash}: give each its own spelling`),
  );
  return problems;
}

interface LanguageTexts {
  readonly language: string;
  readonly foods: ContentFile;
  readonly dishes: ContentFile;
  readonly customs: ContentFile;
}

const languagesOf = (files: readonly ContentText[]): readonly string[] => [
  ...new Set(
    files.flatMap(({ path }) => /^locales\/([^/]+)\/(?:foods|dishes|customs)\.yaml$/u.exec(path)?.[1] ?? []),
  ),
];

const customsAreSound = (
  rows: Readonly<Record<string, { readonly foods: readonly string[] }>>,
  foods: ReadonlyMap<string, unknown>,
) => Object.values(rows).every((row) => row.foods.every((food) => foods.has(food)));

const textAt = (file: ContentFile, at: readonly string[]): unknown =>
  at.reduce<unknown>((tree, name) => (isTree(tree) ? tree[name] : undefined), file.data);

const isTree = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function section(file: ContentFile, name: string): Readonly<Record<string, string>> {
  const tree = textAt(file, [name]);
  if (!isTree(tree)) return {};
  return Object.fromEntries(
    Object.entries(tree).flatMap(([id, text]) => (typeof text === 'string' ? [[id, text]] : [])),
  );
}

function textProblems({ file, at, budget, filled }: WantedText, texts: LanguageTexts): readonly string[] {
  const text = textAt(texts[file], at);
  if (typeof text !== 'string' || text.trim() === '')
    return [texts[file].problem(at, 'missing text: write it in this language')];
  const problems: string[] = [];
  const used = [...text.matchAll(/\{\{\s*([^}\s]*)\s*\}\}/gu)].map((found) => found[1] ?? '');
  const names = section(texts.foods, 'food');
  let longest = text;
  for (const name of used) {
    const fillers =
      filled[name]?.map((food) => names[food] ?? '') ??
      (otherValues[name] !== undefined ? ['x'.repeat(otherValues[name])] : []);
    if (fillers.length === 0)
      problems.push(
        texts[file].problem(
          at,
          `nothing fills {{${name}}}; it can use ${Object.keys(filled).join(', ') || 'no name'}`,
        ),
      );
    const most = fillers.reduce((long, one) => (textLength(one) > textLength(long) ? one : long), '');
    longest = longest.replace(`{{${name}}}`, most);
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

/** English and languages in Latin letters are sent as 7-bit texts. */
const mustBeSevenBit = (language: string): boolean => language === 'en' || language.endsWith('-Latn');

function overBudget(text: string, budget: Budget): readonly string[] {
  const most = isSevenBit(text) ? budgets[budget].sevenBit : budgets[budget].ucs2;
  const length = textLength(text);
  return length > most ? [`${length} letters at its longest, ${most} fit: make it shorter`] : [];
}

function staleTexts(wanted: readonly WantedText[], texts: LanguageTexts): readonly string[] {
  const known = new Set(wanted.map(({ file, at }) => [file, ...at].join('.')));
  const stale: string[] = [];
  for (const file of ['foods', 'dishes', 'customs'] as const) {
    const walk = (tree: unknown, at: readonly string[]): void => {
      if (isTree(tree)) for (const [name, below] of Object.entries(tree)) walk(below, [...at, name]);
      else if (!known.has([file, ...at].join('.')))
        stale.push(texts[file].problem(at, 'nothing uses this text: take it out or mend its name'));
    };
    walk(texts[file].data, []);
  }
  return stale;
}

/** Each part of an answer about a food, powder or custom goes out as one message. */
function answerProblems(
  customsText: ContentFile,
  texts: LanguageTexts,
  foods: ReturnType<typeof openFoods>,
): readonly string[] {
  const her = { eats: 'all', avoids: [], allergies: [] } as const;
  const problems: string[] = [];
  for (const custom of openCustoms(customsText.data, foods).values()) {
    const { parts, asked } = customAnswer(custom, her, foods);
    const list = asked.map((key) => String(textAt(texts.customs, key.split('.')) ?? '')).join(', ');
    for (const part of parts) {
      const said = part
        .map((key) => String(textAt(texts.customs, key.split('.')) ?? '').replace('{{list}}', list))
        .join(' ');
      problems.push(
        ...overBudget(said, 'message').map((what) =>
          texts.customs.problem(['custom', custom.id, 'known'], `the answer: ${what}`),
        ),
      );
    }
  }
  return problems;
}
