import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';
import type { ContentText } from '../care/diet/content-file.ts';
import { openCustoms } from '../care/diet/customs.ts';
import { openDishes } from '../care/diet/dishes.ts';
import { openFoods } from '../care/diet/foods.ts';
import { openRequirements } from '../care/diet/requirement.ts';
import type { FoodContent } from '../dialog/food-content.ts';
import type { NamesOfLanguage } from '../language/food-name-index.ts';
import { openNames } from '../language/food-names.ts';
import type { LanguageFile } from '../language/wording.ts';

/** The files of each language that hold names of foods, dishes and customs. */
export const foodTextFiles = ['foods.yaml', 'dishes.yaml', 'customs.yaml'] as const;

const flowFiles = ['foods.yaml', 'dishes.yaml', 'customs.yaml', 'requirements.yaml'] as const;

/**
 * Reads foods, dishes, customs and needs.
 * @param texts the parsed `foods.yaml` and `customs.yaml` of each language
 * @throws ContentError with a sentence for each thing wrong
 */
export function loadFood(root: string, texts: readonly LanguageFile[]): FoodContent {
  const yaml = (name: (typeof flowFiles)[number]): unknown =>
    parse(readFileSync(join(root, 'flows', name), 'utf8'));
  const foods = openFoods(yaml('foods.yaml'));
  return {
    foods,
    dishes: openDishes(yaml('dishes.yaml'), foods),
    customs: openCustoms(yaml('customs.yaml'), foods),
    requirements: openRequirements(yaml('requirements.yaml')),
    readFoods: openNames(namesOf(texts, 'foods.yaml', 'food', 'foodSpelled')),
    readCustoms: openNames(namesOf(texts, 'customs.yaml', 'custom', 'customSpelled')),
  };
}

/** Every file of foods, dishes and customs as text, for the check that tells lines. */
export function foodContentTexts(root: string, texts: readonly LanguageFile[]): readonly ContentText[] {
  const paths = [...flowFiles.map((name) => `flows/${name}`), ...texts.map(({ file }) => file)];
  return paths.map((path) => ({ path, text: readFileSync(join(root, path), 'utf8') }));
}

type Section = Readonly<Record<string, unknown>>;

function namesOf(
  texts: readonly LanguageFile[],
  file: string,
  names: string,
  spelled: string,
): readonly NamesOfLanguage[] {
  const words = (section: unknown): Readonly<Record<string, string>> =>
    Object.fromEntries(
      Object.entries((section ?? {}) as Section).flatMap(([id, entry]) => {
        const name = typeof entry === 'string' ? entry : (entry as { name?: unknown } | null)?.name;
        return typeof name === 'string' ? [[id, name]] : [];
      }),
    );
  return texts
    .filter((text) => text.file.endsWith(file))
    .map(({ language, data }) => {
      const sections = (data ?? {}) as Section;
      return { language, names: words(sections[names]), spelled: words(sections[spelled]) };
    });
}
