import { nameClashes } from '../../language/food-name-index.ts';
import { type ContentFile, type ContentText, openContent, schemaProblems } from './content-file.ts';
import { answerProblems, menuProblems } from './content-messages.ts';
import { wantedTexts } from './content-texts.ts';
import { customsFile } from './customs.ts';
import { dishesFile, dishProblems } from './dishes.ts';
import { foodsFile, openFoods } from './foods.ts';
import { type LanguageTexts, section, staleTexts, textProblems } from './language-texts.ts';
import { requirementsFile } from './requirement.ts';

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
  let english: LanguageTexts | null = null;
  const namesFiles = new Map<string, ContentFile>();
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
    problems.push(
      ...wanted.flatMap((one) => textProblems(one, texts, english)),
      ...staleTexts(wanted, texts),
    );
    problems.push(...menuProblems(dishes.data.dishes, texts));
    english ??= texts;
    namesFiles.set(language, texts.foods);
    spellings.push({
      language,
      names: section(texts.foods, 'food'),
      spelled: section(texts.foods, 'foodSpelled'),
    });
    if (customsAreSound(customs.data.customs, known)) {
      problems.push(...answerProblems(customsText, texts, known));
    }
  }
  for (const { language, part, written, first, second } of nameClashes(spellings)) {
    const at = [part === 'names' ? 'food' : 'foodSpelled', second];
    const what = `"${written}" is ${first} already: one spelling can mean one food only`;
    problems.push(namesFiles.get(language)?.problem(at, what) ?? what);
  }
  return problems;
}

/** English first, since the others are compared with it. */
const languagesOf = (files: readonly ContentText[]): readonly string[] =>
  [
    ...new Set(
      files.flatMap(
        ({ path }) => /^locales\/([^/]+)\/(?:foods|dishes|customs)\.yaml$/u.exec(path)?.[1] ?? [],
      ),
    ),
  ].sort((a, b) => Number(b === 'en') - Number(a === 'en'));

const customsAreSound = (
  rows: Readonly<Record<string, { readonly foods: readonly string[] }>>,
  foods: ReadonlyMap<string, unknown>,
) => Object.values(rows).every((row) => row.foods.every((food) => foods.has(food)));
