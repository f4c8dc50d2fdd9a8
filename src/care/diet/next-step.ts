import type { FoodGroup } from './food-groups.ts';
import { type Food, type Foods, inSeason } from './foods.ts';
import { type HerFood, mayEat } from './her-food.ts';

/** One small thing to suggest: a food of a group that was missing. Null food: nothing is missing that she could fill. */
export interface SmallStep {
  readonly group: FoodGroup | null;
  readonly food: string | null;
}

/**
 * The order in which a missing group is taken up: cheap and filling most gaps first, flesh last. Common practice, no source.
 */
const order: readonly FoodGroup[] = [
  'greens',
  'pulses',
  'orange',
  'dairy',
  'eggs',
  'nuts',
  'fruits',
  'vegetables',
  'grains',
  'flesh',
];

const costs = { low: 0, middle: 1, high: 2 } as const;

/**
 * One small next step from the groups she did not eat. The food is one that she may eat, that she can afford, in season first, then the
 * cheapest, then the first in the file. `suggested`: groups suggested lately, newest last; another comes first if there is one.
 * @param month 1-12
 */
export function smallStep(
  missing: readonly FoodGroup[],
  her: HerFood,
  foods: Foods,
  month: number,
  afford: Food['cost'] = 'low',
  suggested: readonly FoodGroup[] = [],
): SmallStep {
  const possible = order.flatMap((group) => {
    if (!missing.includes(group)) return [];
    const food = foodToSuggest(group, her, foods, month, afford);
    return food === null ? [] : [{ group, food: food.id }];
  });
  const fresh = possible.find(({ group }) => !suggested.includes(group));
  return fresh ?? possible[0] ?? { group: null, food: null };
}

function foodToSuggest(
  group: FoodGroup,
  her: HerFood,
  foods: Foods,
  month: number,
  afford: Food['cost'],
): Food | null {
  let best: Food | null = null;
  let bestRank = Number.POSITIVE_INFINITY;
  for (const food of foods.values()) {
    if (
      food.group !== group ||
      food.usedAs !== 'food' ||
      !mayEat(food, her) ||
      costs[food.cost] > costs[afford]
    )
      continue;
    if (!inSeason(food, month)) continue;
    const rank = costs[food.cost] * 2 + (food.months === null ? 1 : 0);
    if (rank < bestRank) {
      best = food;
      bestRank = rank;
    }
  }
  return best;
}
