import { type FoodGroup, foodGroups } from './food-groups.ts';
import type { Food } from './foods.ts';

/** An item below this, in grams as eaten, does not earn its group. Source: FAO and FHI 360 2016, FAO 2021 (from memory). */
export const leastGramsForGroup = 15;

/** The cut-off for groups of women. Source: FAO 2021. Never a verdict on one woman. */
const groupsForDiversity = 5;

/**
 * One thing eaten yesterday, day or night. `grams`: as eaten; null when she named it without an amount.
 * `form`: how it came. A fried or savoury snack, a sweet, a sweetened or not wholly fruit drink, butter, cream or ice cream, fish
 * powder and the like earn no group whatever they are made of (FAO 2021, from memory).
 */
export interface Eaten {
  readonly food: Food;
  readonly grams: number | null;
  readonly form?: 'plain' | 'fried-snack' | 'sweet' | 'sweet-drink' | 'cream' | 'as-seasoning';
}

/**
 * The food group that one thing earned, or null. Seasonings (leaves of coriander, mint and curry, poppy seed) count only when 15 g or
 * more is told; fats, sweeteners and spices never do.
 */
export function groupEarned({ food, grams, form = 'plain' }: Eaten): FoodGroup | null {
  if (form !== 'plain' || food.group === 'none' || food.usedAs === 'fat' || food.usedAs === 'sweet')
    return null;
  if (grams === null) return food.usedAs === 'seasoning' ? null : food.group;
  return grams >= leastGramsForGroup ? food.group : null;
}

/** The groups earned by a day's food, in the order of the guide. The score is how many there are, 0-10. */
export function groupsEaten(day: readonly Eaten[]): readonly FoodGroup[] {
  const earned = new Set(day.map(groupEarned));
  return foodGroups.filter((group) => earned.has(group));
}

/**
 * Figures for a programme: women counted, how many had five groups or more, and the mean of groups, from one day of each woman.
 * `share` is undefined when nobody was asked.
 */
export function diversityFigures(scores: readonly number[]): {
  readonly women: number;
  readonly reached: number;
  readonly share: number | undefined;
  readonly meanGroups: number | undefined;
} {
  for (const score of scores) {
    if (!Number.isInteger(score) || score < 0 || score > foodGroups.length) {
      throw new RangeError(`a diversity score is a whole number from 0 to 10, not ${score}`);
    }
  }
  const women = scores.length;
  const reached = scores.filter((score) => score >= groupsForDiversity).length;
  return {
    women,
    reached,
    share: women === 0 ? undefined : reached / women,
    meanGroups: women === 0 ? undefined : scores.reduce((sum, score) => sum + score, 0) / women,
  };
}
