import type { Portion } from './estimate.ts';
import type { Foods, Measure } from './foods.ts';

/** What is counted for the estimate, in the order asked: the food that stands for its kind, and the measure she counts in. */
export const askedPortions = [
  { ask: 'roti', food: 'wheat-flour', measure: 'roti' },
  { ask: 'rice', food: 'rice', measure: 'bowl' },
  { ask: 'dal', food: 'toor-dal', measure: 'bowl' },
  { ask: 'greens', food: 'spinach', measure: 'bowl' },
  { ask: 'vegetables', food: 'potato', measure: 'bowl' },
  { ask: 'milk', food: 'cow-milk', measure: 'glass' },
  { ask: 'nuts', food: 'groundnut', measure: 'handful' },
  { ask: 'egg', food: 'egg', measure: 'piece' },
  { ask: 'fish-meat', food: 'chicken', measure: 'piece' },
] as const satisfies readonly { readonly ask: string; readonly food: string; readonly measure: Measure }[];

export type AskedPortion = (typeof askedPortions)[number]['ask'];

/**
 * Her counts as portions for the estimate. What was not asked (oil, sugar, fruit, snacks) is not in it: pass `complete` only when nothing
 * of weight can be missing, else nothing may be called short. Counts of null were left open and are left out.
 * @throws RangeError when a food or its measure is not in the table
 */
export function portionsFromCounts(
  counts: Readonly<Partial<Record<AskedPortion, number | null>>>,
  foods: Foods,
): readonly Portion[] {
  return askedPortions.flatMap(({ ask, food: id, measure }) => {
    const count = counts[ask];
    if (count === undefined || count === null) return [];
    const food = foods.get(id);
    if (food?.eaten[measure] === undefined) throw new RangeError(`no weight for a ${measure} of ${id}`);
    return [{ food, measure, count }];
  });
}
