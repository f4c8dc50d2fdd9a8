import type { Food, Foods, Measure } from './foods.ts';
import type { Filled, MadeDish } from './substitution.ts';

/** What to take: so much of a food in a household measure, by names. `count` in halves from 0.5, or less for a pinch of something. */
export interface ToTake {
  readonly food: string;
  readonly count: number;
  readonly measure: Measure;
  /** The food it stands in for, null when none. */
  readonly insteadOf: string | null;
}

/** A dish in the order it is told: what to take, then the steps, each one text (`dish.<id>.<number>`). */
export interface DishTelling {
  readonly dish: string;
  readonly minutes: number;
  readonly take: readonly ToTake[];
  /** What she may add, if it is there; told after what is needed. */
  readonly add: readonly ToTake[];
  readonly steps: readonly string[];
  /** For the texts of the steps: by the name used in them, the food chosen, whose name in her language goes in. */
  readonly called: Readonly<Record<string, string>>;
}

/** How to tell a dish as she makes it, stand-ins in her own measures. */
export function dishTelling(made: MadeDish, foods: Foods): DishTelling {
  const { dish, filled, added } = made;
  const called = Object.fromEntries(
    filled.flatMap(({ slot, food }) => (slot.as === null ? [] : [[slot.as, food]])),
  );
  return {
    dish: dish.id,
    minutes: dish.minutes,
    take: filled.map((one) => toTake(one, foods)),
    add: added.map((one) => toTake(one, foods)),
    steps: Array.from({ length: dish.steps }, (_, at) => `dish.${dish.id}.${at + 1}`),
    called,
  };
}

function toTake({ slot, food: id, grams, insteadOf }: Filled, foods: Foods): ToTake {
  const food = foods.get(id);
  if (insteadOf === null || food === undefined) {
    return { food: id, count: slot.amount, measure: slot.measure, insteadOf };
  }
  return { food: id, ...inMeasures(food, grams, slot.measure), insteadOf };
}

/**
 * Grams of a raw food as a count of a household measure: the one asked for when it fits within a fifth in halves, else the one that fits
 * best, up to eight of it.
 */
export function inMeasures(
  food: Food,
  grams: number,
  liked: Measure,
): { readonly count: number; readonly measure: Measure } {
  const ways = (Object.entries(food.raw) as [Measure, number][]).map(([measure, one]) => {
    const count = Math.max(0.5, Math.round((grams / one) * 2) / 2);
    return { measure, count, off: Math.abs(count * one - grams) / grams + (count > 8 ? 1 : 0) };
  });
  ways.sort((a, b) => a.off - b.off);
  const { measure, count } = ways.find((way) => way.measure === liked && way.off <= 0.2) ??
    ways[0] ?? { measure: liked, count: 1 };
  return { measure, count };
}
