import type { Dishes } from './dishes.ts';
import type { FoodGroup } from './food-groups.ts';
import { type Foods, inSeason } from './foods.ts';
import { type HerFood, mayEat } from './her-food.ts';

/** A keypad has nine numbers for things. */
const mostOnPage = 9;

/** What is asked together: the flours and grains, the dals, the vegetables, then milk, eggs, nuts and the rest. */
const pages: readonly (readonly FoodGroup[])[] = [
  ['grains'],
  ['pulses'],
  ['greens', 'orange', 'vegetables'],
  ['dairy', 'eggs', 'nuts', 'flesh', 'fruits'],
];

/**
 * Four pages of up to nine foods for a mother who tells her kitchen by keypad: those that most dishes can use, that she may eat and that are in
 * season. What stands in every house is not asked.
 * @param month 1-12
 */
export function kitchenPages(
  dishes: Dishes,
  foods: Foods,
  her: HerFood,
  month: number,
): readonly (readonly string[])[] {
  const uses = new Map<string, number>();
  for (const dish of dishes.byId.values()) {
    for (const { options } of dish.needs) {
      options.forEach(({ food }, at) => uses.set(food, (uses.get(food) ?? 0) + (at === 0 ? 2 : 1)));
    }
  }
  return pages.map((groups) =>
    [...foods.values()]
      .filter((food) => food.group !== 'none' && groups.includes(food.group) && uses.has(food.id))
      .filter((food) => mayEat(food, her) && inSeason(food, month) && !dishes.alwaysThere.includes(food.id))
      .sort((a, b) => (uses.get(b.id) ?? 0) - (uses.get(a.id) ?? 0))
      .slice(0, mostOnPage)
      .map(({ id }) => id),
  );
}
