import type { HerFood } from '../care/diet/her-food.ts';
import type { Draft } from './draft.ts';
import { type FoodKept, nothingKept } from './food-kept.ts';
import type { LineState, Mother } from './line.ts';

/** What is kept of her food; empty where nothing is. */
export const foodOf = (mother: Mother | undefined): FoodKept => ({ ...nothingKept, ...mother?.food });

/** What she eats and keeps away from, for every choice made for her. */
export function herFood(mother: Mother): HerFood {
  const { avoids, allergies } = foodOf(mother);
  return { eats: mother.eats, avoids, allergies };
}

const fewestFirst = ['veg', 'egg', 'all'] as const;

/**
 * What may be offered on this line. Several mothers on one phone: who cooks is not asked, so only what all of them eat.
 */
export function lineFood({ mothers }: LineState): HerFood {
  const all = mothers.map(herFood);
  return {
    eats: fewestFirst.find((eats) => all.some((her) => her.eats === eats)) ?? 'veg',
    avoids: [...new Set(all.flatMap((her) => her.avoids))],
    allergies: [...new Set(all.flatMap((her) => her.allergies))],
  };
}

/** Changes what is kept of the food of the mother who writes. */
export function keepFood(draft: Draft, part: Partial<FoodKept>): void {
  const { state } = draft;
  draft.state = {
    ...state,
    mothers: state.mothers.map((m, i) =>
      i === state.writing ? { ...m, food: { ...foodOf(m), ...part } } : m,
    ),
  };
}
