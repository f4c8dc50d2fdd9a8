import { type Allergen, allergens, type Foods } from './foods.ts';
import type { MadeDish } from './substitution.ts';

/** Things to tell with a dish, most needed first. Common practice, no source. */
export const dishCautions = [
  'cook-through',
  'bones',
  'soak',
  'wash-leaves',
  'boil-milk',
  'sweet',
  'soya-thyroid',
] as const;
export type DishCaution = (typeof dishCautions)[number];

/** Grams of sugar, jaggery or dates in one serving from which the sweet is mentioned. */
const sweetGrams = 10;

const ingredients = (made: MadeDish, foods: Foods) =>
  [...made.filled, ...made.added].flatMap(({ food: id, grams }) => {
    const food = foods.get(id);
    return food === undefined ? [] : [{ food, gramsServed: grams / made.dish.serves }];
  });

/** All that someone could be allergic to in the dish as she makes it. */
export function allergensOf(made: MadeDish, foods: Foods): readonly Allergen[] {
  const found = new Set(ingredients(made, foods).flatMap(({ food }) => food.allergens));
  return allergens.filter((allergen) => found.has(allergen));
}

/** Hours to begin before: what the dish asks, or the longest soak of what is used. 0: now. */
export function aheadHours(made: MadeDish, foods: Foods): number {
  let hours = made.dish.aheadHours;
  for (const part of [made.filled, made.added]) {
    for (const { food } of part) hours = Math.max(hours, foods.get(food)?.soakHours ?? 0);
  }
  return hours;
}

/** What to mind with the dish as she makes it, worked out from what goes in. */
export function cautionsOf(made: MadeDish, foods: Foods): readonly DishCaution[] {
  const all = ingredients(made, foods);
  const any = (test: (one: (typeof all)[number]) => boolean): boolean => all.some(test);
  const holds: Readonly<Record<DishCaution, boolean>> = {
    'cook-through': any(({ food }) => food.kind !== 'veg'),
    bones: any(({ food }) => food.allergens.includes('fish')),
    soak: aheadHours(made, foods) > 0,
    'wash-leaves': any(({ food }) => food.group === 'greens' && food.usedAs === 'food'),
    'boil-milk': any(({ food }) => food.id === 'cow-milk' || food.id === 'buffalo-milk'),
    sweet: any(
      ({ food, gramsServed }) =>
        (food.usedAs === 'sweet' || food.id === 'dates') && gramsServed >= sweetGrams,
    ),
    'soya-thyroid': any(({ food }) => food.allergens.includes('soya')),
  };
  return dishCautions.filter((caution) => holds[caution]);
}
