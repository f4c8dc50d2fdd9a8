import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { openCustoms } from '../../../src/care/diet/customs.ts';
import { openDishes } from '../../../src/care/diet/dishes.ts';
import { openFoods } from '../../../src/care/diet/foods.ts';
import { openRequirements, requirementFor } from '../../../src/care/diet/requirement.ts';
import { openNames } from '../../../src/language/food-names.ts';

/** The project's own content, read as the line reads it. */

const root = new URL('../../../', import.meta.url);
const textOf = (path: string): string => readFileSync(new URL(path, root), 'utf8');
export const yamlOf = (path: string): unknown => parse(textOf(path));

export const languages = ['en', 'hi', 'hi-Latn', 'mr'] as const;
export const foods = openFoods(yamlOf('flows/foods.yaml'));
export const dishes = openDishes(yamlOf('flows/dishes.yaml'), foods);
export const customs = openCustoms(yamlOf('flows/customs.yaml'), foods);
export const requirements = openRequirements(yamlOf('flows/requirements.yaml'));
export const need = requirementFor(requirements, { stage: '0-6', feeding: 'exclusive', babies: 1 });

const section = (language: string, name: string) =>
  (yamlOf(`locales/${language}/foods.yaml`) as Record<string, Record<string, string>>)[name] ?? {};
export const readNames = openNames(
  languages.map((language) => ({
    language,
    names: section(language, 'food'),
    spelled: section(language, 'foodSpelled'),
  })),
);

export const food = (id: string) => {
  const found = foods.get(id);
  if (found === undefined) throw new Error(`no food ${id}`);
  return found;
};
export const dish = (id: string) => {
  const found = dishes.byId.get(id);
  if (found === undefined) throw new Error(`no dish ${id}`);
  return found;
};

export const contentFiles = () => {
  const paths = ['foods', 'dishes', 'customs', 'requirements'].map((name) => `flows/${name}.yaml`);
  for (const language of readdirSync(new URL('locales', root))) {
    for (const name of ['foods', 'dishes', 'customs']) {
      if (readdirSync(new URL(`locales/${language}`, root)).includes(`${name}.yaml`))
        paths.push(`locales/${language}/${name}.yaml`);
    }
  }
  return paths.map((path) => ({ path, text: textOf(path) }));
};
