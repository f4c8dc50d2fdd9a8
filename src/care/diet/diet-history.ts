import { type FoodGroup, foodGroups } from './food-groups.ts';
import type { HerFood } from './her-food.ts';
import { type DietRecall, weekGaps } from './recall.ts';

/** A dish offered to her, and whether she said that she cooked it. `day`: YYYY-MM-DD. */
export interface DishOffer {
  readonly dish: string;
  readonly day: string;
  readonly cooked: boolean;
}

/** Her diet over time, for the counsellor. */
export interface DietHistory {
  /** Oldest first, one for each day answered; a day told twice keeps the later. */
  readonly days: readonly {
    readonly day: string;
    readonly eaten: readonly FoodGroup[];
    readonly open: readonly FoodGroup[];
  }[];
  /** By group, the part of the days on which she had none of it, largest first. Groups that she does not eat are left out. */
  readonly gaps: readonly { readonly group: FoodGroup; readonly daysWithout: number }[];
  /** By dish, most often offered first. */
  readonly dishes: readonly { readonly dish: string; readonly offered: number; readonly cooked: number }[];
}

/** Lays out what a counsellor looks at. It judges nothing: one woman's count of groups is no verdict. */
export function dietHistory(
  recalls: readonly DietRecall[],
  offers: readonly DishOffer[],
  her: HerFood,
): DietHistory {
  const byDay = new Map(recalls.map((recall) => [recall.day, recall]));
  const days = [...byDay.values()]
    .sort((a, b) => a.day.localeCompare(b.day))
    .map(({ day, groups }) => ({
      day,
      eaten: foodGroups.filter((group) => groups[group] === true),
      open: foodGroups.filter((group) => groups[group] === null),
    }));
  const without = weekGaps([...byDay.values()], her);
  const gaps = foodGroups
    .flatMap((group) => {
      const daysWithout = without[group] ?? 0;
      return daysWithout > 0 ? [{ group, daysWithout }] : [];
    })
    .sort((a, b) => b.daysWithout - a.daysWithout);
  const dishes = new Map<string, { dish: string; offered: number; cooked: number }>();
  for (const { dish, cooked } of offers) {
    const so = dishes.get(dish) ?? { dish, offered: 0, cooked: 0 };
    dishes.set(dish, { dish, offered: so.offered + 1, cooked: so.cooked + (cooked ? 1 : 0) });
  }
  return { days, gaps, dishes: [...dishes.values()].sort((a, b) => b.offered - a.offered) };
}
