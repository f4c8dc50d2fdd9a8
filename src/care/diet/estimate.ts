import type { Food, Measure } from './foods.ts';
import { energyKcal, type Nutrient } from './nutrients.ts';
import { type Estimated, type OtherNutrient, otherNutrients, type Requirement } from './requirement.ts';

/** One portion as she told it: so many of a household measure of a food as eaten. `count` 0-50, halves allowed. */
export interface Portion {
  readonly food: Food;
  readonly measure: Measure;
  readonly count: number;
}

/**
 * How far one woman's measure lies from the table's, as a fraction. Her bowl is one bowl all day, so the error is shared by
 * all portions of a measure. A bowl is sold from 100 to 200 ml around 150, a glass from 200 to 250. Common practice, no source.
 */
const measureSpread: Readonly<Record<Measure, number>> = {
  bowl: 0.33,
  glass: 0.2,
  spoon: 0.33,
  tsp: 0.33,
  piece: 0.2,
  handful: 0.4,
  bunch: 0.4,
  pinch: 0.5,
  roti: 0.25,
  paratha: 0.25,
  plate: 0.33,
};
/** How far one food lies from the food of the table. Common practice, no source. */
const foodSpread = 0.1;

/**
 * The part left after cooking, at the least; the table is of raw food. Common practice near the USDA Table of Nutrient Retention
 * Factors (release 6, 2007; from memory): boiled greens keep about half or more.
 */
export const leastKept: Readonly<Partial<Record<Nutrient, number>>> = {
  vitaminC: 0.4,
  folate: 0.5,
  vitaminA: 0.8,
};

/** Short of, enough of, or no telling. Never more than this for anything but energy and protein. */
export type Likely = 'likely-short' | 'likely-enough' | 'cannot-tell';

export interface DietEstimate {
  readonly energyKcal: Estimated;
  readonly proteinG: Estimated;
  readonly energy: Likely;
  readonly protein: Likely;
  readonly others: Readonly<Record<OtherNutrient, Likely>>;
  /** Foods whose figures lack something that was asked; unknown was not counted as zero. */
  readonly unknownIn: Readonly<Partial<Record<OtherNutrient, readonly string[]>>>;
}

/**
 * Grams of the raw food in a portion.
 * @throws RangeError when the food has no weight for that measure as eaten, or the count is not 0-50
 */
export function portionGrams({ food, measure, count }: Portion): number {
  const one = food.eaten[measure];
  if (one === undefined) throw new RangeError(`${food.id} has no weight for a ${measure} as eaten`);
  if (!(count >= 0 && count <= 50)) throw new RangeError('a count of portions is 0 to 50');
  return one * count;
}

/** Grams of a portion as eaten, for the 15 g rule of the food groups: the raw weight times what it swells to. */
export const eatenGrams = (portion: Portion): number => portionGrams(portion) * portion.food.swells;

/**
 * What a day's portions hold, against what she needs. `complete`: she was asked for the whole day; when not, nothing is called short.
 * Other nutrients are short only below the average need (the daily figure divided by 1.2, for the usual spread of 10% between women;
 * Institute of Medicine, DRI: Applications in Dietary Assessment, 2000, from memory) even at the upper end of the
 * estimate, and enough only when the lower end reaches the whole figure. One day says nothing about deficiency: for the
 * counsellor's view and for choosing a dish, never an alert.
 */
export function dietEstimate(
  portions: readonly Portion[],
  need: Requirement,
  complete: boolean,
): DietEstimate {
  const energyIn = estimated(portions, (food) => energyKcal(food.per100g));
  const proteinIn = estimated(portions, (food) => food.per100g.protein);
  const others = {} as Record<OtherNutrient, Likely>;
  const unknownIn: Partial<Record<OtherNutrient, readonly string[]>> = {};
  for (const nutrient of otherNutrients) {
    const taken = estimated(portions, (food) => food.per100g[nutrient], leastKept[nutrient]);
    if (taken.unknown.length > 0) unknownIn[nutrient] = taken.unknown;
    const { low, high } = need.others[nutrient];
    others[nutrient] = likely(taken, { low: low / 1.2, high }, complete);
  }
  return {
    energyKcal: amounts(energyIn),
    proteinG: amounts(proteinIn),
    energy: likely(energyIn, need.energyKcal, complete),
    protein: likely(proteinIn, need.proteinG, complete),
    others,
    unknownIn,
  };
}

interface Taken extends Estimated {
  readonly unknown: readonly string[];
}

const amounts = ({ low, likely: middle, high }: Taken): Estimated => ({ low, likely: middle, high });

function estimated(
  portions: readonly Portion[],
  per100: (food: Food) => number | undefined,
  kept = 1,
): Taken {
  const byMeasure = new Map<Measure, number>();
  const unknown = new Set<string>();
  let sum = 0;
  let squares = 0;
  for (const portion of portions) {
    const grams = portionGrams(portion);
    if (grams === 0) continue;
    const value = per100(portion.food);
    if (value === undefined) {
      unknown.add(portion.food.id);
      continue;
    }
    const amount = (grams * value) / 100;
    sum += amount;
    squares += (amount * foodSpread) ** 2;
    byMeasure.set(portion.measure, (byMeasure.get(portion.measure) ?? 0) + amount);
  }
  for (const [measure, amount] of byMeasure) squares += (amount * measureSpread[measure]) ** 2;
  // Errors of different measures are taken as independent, so they are added as squares.
  const spread = Math.sqrt(squares);
  return {
    low: Math.max(0, (sum - spread) * kept),
    likely: (sum * (1 + kept)) / 2,
    high: sum + spread,
    unknown: [...unknown],
  };
}

function likely(
  taken: Taken,
  need: { readonly low: number; readonly high: number },
  complete: boolean,
): Likely {
  if (taken.low >= need.high) return 'likely-enough';
  if (complete && taken.unknown.length === 0 && taken.high < need.low) return 'likely-short';
  return 'cannot-tell';
}
