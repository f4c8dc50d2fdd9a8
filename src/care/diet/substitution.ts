import type { Dish, Dishes, Slot } from './dishes.ts';
import type { Foods } from './foods.ts';
import { type HerFood, mayEat } from './her-food.ts';

/** What goes into one place of a dish when she makes it. `insteadOf`: the food that it stands in for, null when none. */
export interface Filled {
  readonly slot: Slot;
  readonly food: string;
  /** Raw, for the whole dish. */
  readonly grams: number;
  readonly insteadOf: string | null;
}

/** A dish as she can make it now: every place filled, and what can be added freely. */
export interface MadeDish {
  readonly dish: Dish;
  readonly filled: readonly Filled[];
  readonly added: readonly Filled[];
}

/** The kitchen as the choice sees it: what is there and may be used for her. */
export interface Larder {
  readonly foods: Foods;
  readonly usable: ReadonlySet<string>;
}

/** What may be used for her: the foods in the house and those taken to be in every house, less all that she may not eat. */
export function larder(kitchen: Iterable<string>, dishes: Dishes, foods: Foods, her: HerFood): Larder {
  const usable = new Set<string>();
  for (const id of [...kitchen, ...dishes.alwaysThere]) {
    const food = foods.get(id);
    if (food !== undefined && mayEat(food, her)) usable.add(id);
  }
  return { foods, usable };
}

/** True when every place can be filled, no food twice. */
export function canMake(dish: Dish, { usable }: Larder): boolean {
  return fillings(dish.needs, usable, 1).length > 0;
}

/**
 * Every way to make a dish from a larder: each place by its own food or by one that stands in, no food twice. What can be left out is put in when
 * it is there and not used already. Empty when the dish cannot be made.
 */
export function waysToMake(dish: Dish, { usable }: Larder): readonly MadeDish[] {
  return fillings(dish.needs, usable, Number.POSITIVE_INFINITY).map((filled) => {
    const used = new Set(filled.map(({ food }) => food));
    const added: Filled[] = [];
    for (const slot of dish.mayAdd) {
      const option = slot.options[0];
      if (option === undefined || used.has(option.food) || !usable.has(option.food)) continue;
      used.add(option.food);
      added.push({ slot, ...option, insteadOf: null });
    }
    return { dish, filled, added };
  });
}

/** The one thing that keeps a dish from being made, with all that could fill its place for her, the dish's own food first. */
export interface OneMissing {
  readonly dish: Dish;
  readonly missing: readonly string[];
}

/** The dish with its one empty place, or null when it can be made, lacks more than one thing, or no food of that place is for her. */
export function oneMissing(dish: Dish, stock: Larder, her: HerFood): OneMissing | null {
  if (canMake(dish, stock)) return null;
  for (const [at, slot] of dish.needs.entries()) {
    const others = dish.needs.filter((_, index) => index !== at);
    const withoutIt = fillings(others, stock.usable, 1)[0];
    if (withoutIt === undefined) continue;
    const taken = new Set(withoutIt.map(({ food }) => food));
    const missing = slot.options
      .map(({ food }) => food)
      .filter((id) => {
        const food = stock.foods.get(id);
        return food !== undefined && !taken.has(id) && mayEat(food, her);
      });
    if (missing.length > 0) return { dish, missing };
  }
  return null;
}

function fillings(
  slots: readonly Slot[],
  usable: ReadonlySet<string>,
  most: number,
): readonly (readonly Filled[])[] {
  const found: (readonly Filled[])[] = [];
  const fill = (at: number, so: readonly Filled[]): void => {
    if (found.length >= most) return;
    const slot = slots[at];
    if (slot === undefined) {
      found.push(so);
      return;
    }
    const own = slot.options[0]?.food ?? null;
    for (const option of slot.options) {
      if (!usable.has(option.food) || so.some(({ food }) => food === option.food)) continue;
      fill(at + 1, [...so, { slot, ...option, insteadOf: option.food === own ? null : own }]);
    }
  };
  fill(0, []);
  return found;
}
