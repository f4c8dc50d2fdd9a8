import { leastKept } from './estimate.ts';
import { type FoodGroup, foodGroups } from './food-groups.ts';
import type { Foods } from './foods.ts';
import { leastGramsForGroup } from './mdd-w.ts';
import { energyKcal, type Nutrient, type NutrientFigures, nutrients } from './nutrients.ts';
import { otherNutrients, type Requirement } from './requirement.ts';
import type { MadeDish } from './substitution.ts';

/** What one woman's serving holds. `unknownIn`: foods whose figure for a nutrient is unknown; their part is left out, not zero. */
export interface Serving {
  readonly energyKcal: number;
  readonly holds: NutrientFigures;
  readonly unknownIn: Readonly<Partial<Record<Nutrient, readonly string[]>>>;
}

/** What one serving of a dish holds as it goes into the pot. Sums of what is known. */
export function servingOf(made: MadeDish, foods: Foods): Serving {
  const holds: Partial<Record<Nutrient, number>> = {};
  const unknownIn: Partial<Record<Nutrient, string[]>> = {};
  let energy = 0;
  for (const { food: id, grams } of [...made.filled, ...made.added]) {
    const food = foods.get(id);
    if (food === undefined) continue;
    const part = grams / 100 / made.dish.serves;
    energy += (energyKcal(food.per100g) ?? 0) * part;
    for (const nutrient of nutrients) {
      const value = food.per100g[nutrient];
      if (value === undefined) (unknownIn[nutrient] ??= []).push(id);
      else holds[nutrient] = (holds[nutrient] ?? 0) + value * part;
    }
  }
  return { energyKcal: energy, holds, unknownIn };
}

/** The food groups that one serving earns: 15 g of one food or more as eaten, seasonings too. In the order of the guide. */
export function groupsOfServing(made: MadeDish, foods: Foods): readonly FoodGroup[] {
  const earned = groupsServed(made, foods);
  return foodGroups.filter((group) => earned.includes(group));
}

/** The same, in the order of the ingredients and with repeats: for weighing many dishes. */
export function groupsServed(made: MadeDish, foods: Foods): readonly FoodGroup[] {
  const earned: FoodGroup[] = [];
  for (const part of [made.filled, made.added]) {
    for (const { food: id, grams } of part) {
      const food = foods.get(id);
      if (food === undefined || food.group === 'none' || food.usedAs === 'fat' || food.usedAs === 'sweet')
        continue;
      if (grams * food.swells >= leastGramsForGroup * made.dish.serves) earned.push(food.group);
    }
  }
  return earned;
}

/** The part of her day's need that one serving gives, 0 or more, after cooking at its worst. Unknown parts are left out. */
export function shareOfNeed(holds: NutrientFigures, nutrient: DishNutrient, need: Requirement): number {
  const held = (holds[nutrient] ?? 0) * (leastKept[nutrient] ?? 1);
  return held / (nutrient === 'protein' ? need.proteinG.likely : need.others[nutrient].high);
}

/** The same for one nutrient alone, without working out the rest of the serving. */
export function shareServed(made: MadeDish, nutrient: DishNutrient, foods: Foods, need: Requirement): number {
  let held = 0;
  for (const part of [made.filled, made.added]) {
    for (const { food, grams } of part) held += ((foods.get(food)?.per100g[nutrient] ?? 0) * grams) / 100;
  }
  return shareOfNeed({ [nutrient]: held / made.dish.serves }, nutrient, need);
}

export const dishNutrients = ['protein', ...otherNutrients] as const;
export type DishNutrient = (typeof dishNutrients)[number];

/**
 * What a serving is rich in: a fifth of the day's need for protein, three tenths for the others. Twice the 10% and the 15% of a "source".
 * Source: Codex Alimentarius, CAC/GL 23-1997, table of conditions for claims (from memory), against her need in place of the label's value.
 */
export function richIn(serving: Serving, need: Requirement): readonly DishNutrient[] {
  return dishNutrients.filter(
    (nutrient) => shareOfNeed(serving.holds, nutrient, need) >= (nutrient === 'protein' ? 0.2 : 0.3),
  );
}
