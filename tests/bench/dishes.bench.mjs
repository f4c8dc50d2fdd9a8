/**
 * How long "what can I cook?" takes: 150 kitchen lists in five ways of writing, read and answered with the built code.
 * Alone: node tests/bench/dishes.bench.mjs
 */
import { readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';

const root = new URL('../../', import.meta.url);
const built = (path) => import(new URL(`dist/${path}`, root).href);
const yaml = (path) => parse(readFileSync(new URL(path, root), 'utf8'));
const rounds = 40;

/**
 * Rows of name, value and unit: median and 99th of 100 of one request, and the largest kitchen there can be.
 * @returns {Promise<readonly { name: string, value: number, unit: string }[]>}
 */
export async function run() {
  const [
    { openFoods },
    { openDishes },
    { openRequirements, requirementFor },
    { chooseDishes },
    { readKitchen },
    { openNames },
  ] = await Promise.all([
    built('care/diet/foods.js'),
    built('care/diet/dishes.js'),
    built('care/diet/requirement.js'),
    built('care/diet/choose-dish.js'),
    built('care/diet/kitchen.js'),
    built('language/food-names.js'),
  ]);
  const foods = openFoods(yaml('flows/foods.yaml'));
  const dishes = openDishes(yaml('flows/dishes.yaml'), foods);
  const need = requirementFor(openRequirements(yaml('flows/requirements.yaml')), {
    stage: '0-6',
    feeding: 'exclusive',
    babies: 1,
  });
  const read = openNames(
    ['en', 'hi', 'hi-Latn', 'mr'].map((language) => {
      const { food, foodSpelled } = yaml(`locales/${language}/foods.yaml`);
      return { language, names: food, spelled: foodSpelled };
    }),
  );
  const texts = yaml('tests/care/diet/fixtures/kitchens.yaml').flatMap((one) =>
    ['en', 'hi', 'hi-Latn', 'mr', 'mr-Latn'].map((way) => one[way]),
  );
  const wish = {
    her: { eats: 'all', avoids: ['bathua'], allergies: [] },
    groupGaps: { greens: 1, pulses: 0.5, orange: 1, dairy: 0.5, fruits: 1, nuts: 0.7 },
    short: ['protein', 'iron', 'calcium'],
    need,
    offered: { 'greens-dal': 1, 'dal-rice': 3 },
    month: 1,
  };
  const request = (kitchen) => {
    const began = performance.now();
    chooseDishes(
      { ...wish, kitchen: typeof kitchen === 'string' ? readKitchen(kitchen, read, foods).has : kitchen },
      dishes,
      foods,
    );
    return performance.now() - began;
  };
  const at = (times, part) => times.sort((a, b) => a - b)[Math.floor(times.length * part)];
  const times = Array.from({ length: rounds }, () => texts.map(request)).flat();
  const everything = Array.from({ length: rounds }, () => request([...foods.keys()]));
  const ms = (value) => Math.round(value * 1000) / 1000;
  return [
    { name: 'what can I cook, median', value: ms(at(times, 0.5)), unit: 'ms' },
    { name: 'what can I cook, 99 of 100', value: ms(at(times, 0.99)), unit: 'ms' },
    { name: 'what can I cook, every food in the house, median', value: ms(at(everything, 0.5)), unit: 'ms' },
  ];
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  console.info(`Node ${process.version}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}`);
  for (const { name, value, unit } of await run()) console.info(`${name}: ${value} ${unit}`);
}
