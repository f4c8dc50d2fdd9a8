import { aheadHours } from './dish-cautions.ts';
import { type DishNutrient, groupsServed, shareServed } from './dish-nutrition.ts';
import type { Dishes } from './dishes.ts';
import type { FoodGroup } from './food-groups.ts';
import { type Foods, inSeason } from './foods.ts';
import type { HerFood } from './her-food.ts';
import type { Requirement } from './requirement.ts';
import { larder, type MadeDish, type OneMissing, oneMissing, waysToMake } from './substitution.ts';

/** What the choice knows of her. */
export interface DishWish {
  readonly kitchen: readonly string[];
  readonly her: HerFood;
  /** Food groups that her week lacks, 0 (had it every day asked) to 1 (never had it). Absent: not known, counts nothing. */
  readonly groupGaps: Readonly<Partial<Record<FoodGroup, number>>>;
  /** Nutrients that her estimate found likely short. */
  readonly short: readonly DishNutrient[];
  readonly need: Requirement;
  /** Dishes offered lately, by name, with days since (0: today). */
  readonly offered: Readonly<Record<string, number>>;
  /** Month 1-12. */
  readonly month: number;
}

export interface DishChoice {
  /** Up to three, the best by itself first; exactly three when three can be made. */
  readonly now: readonly MadeDish[];
  /** Up to three that lack one thing, quickest first. */
  readonly missingOne: readonly OneMissing[];
}

const mostDishes = 3;

/** Weights of the objective, in the worth of one food group that she never had this week. Common practice, no source. */
const worth = {
  nutrient: 0.8,
  offered: 1.5,
  forgottenAfterDays: 7,
  hour: 0.3,
  begunAhead: 0.4,
  standIn: 0.05,
  season: 0.05,
};

/** A dish's own worth, and the gaps that it fills as bits over `wanted`. */
export interface Valued {
  readonly made: MadeDish;
  readonly own: number;
  readonly fills: number;
}

/**
 * The objective. Of all ways to make up to three different dishes, the choice maximises
 *   the sum of gaps of the groups that at least one of them fills (so that they complement each other)
 * + the sum of each dish's own worth: 0.8 x the part of the day's need it gives of every nutrient that is short (at most half of it)
 *   - 1.5, fading over 7 days, when it was offered lately - 0.3 an hour of cooking - 0.4 when it must be begun ahead
 *   - 0.05 for each stand-in + 0.05 x the part of its foods in season.
 * All that she may not eat is out before anything is weighed. Of equal sets the one found first stays: dishes worth more by themselves, then earlier in the file.
 */
export function chooseDishes(wish: DishWish, dishes: Dishes, foods: Foods): DishChoice {
  const stock = larder(wish.kitchen, dishes, foods, wish.her);
  const groups = Object.keys(wish.groupGaps) as FoodGroup[];
  const gaps = groups.map((group) => wish.groupGaps[group] ?? 0);
  const ways: Valued[] = [];
  const missingOne: OneMissing[] = [];
  for (const dish of dishes.byId.values()) {
    const bestByFills = new Map<number, Valued>();
    for (const made of waysToMake(dish, stock)) {
      const valued = valueOf(made, wish, groups, foods);
      const best = bestByFills.get(valued.fills);
      if (best === undefined || valued.own > best.own) bestByFills.set(valued.fills, valued);
    }
    ways.push(...bestByFills.values());
    if (bestByFills.size > 0) continue;
    const lacks = oneMissing(dish, stock, wish.her);
    if (lacks !== null) missingOne.push(lacks);
  }
  missingOne.sort((a, b) => a.dish.minutes - b.dish.minutes);
  return { now: bestSet(ways, gaps).map(({ made }) => made), missingOne: missingOne.slice(0, mostDishes) };
}

/** The worth of one way to make a dish, and the wanted groups that it fills. */
export function valueOf(made: MadeDish, wish: DishWish, wanted: readonly FoodGroup[], foods: Foods): Valued {
  let fills = 0;
  for (const group of groupsServed(made, foods)) {
    const at = wanted.indexOf(group);
    if (at >= 0) fills |= 1 << at;
  }
  const nutrients = wish.short.reduce(
    (sum, name) => sum + Math.min(0.5, shareServed(made, name, foods, wish.need)),
    0,
  );
  const days = wish.offered[made.dish.id];
  const fresh = days === undefined ? 0 : Math.max(0, 1 - days / worth.forgottenAfterDays);
  const standIns = made.filled.filter(({ insteadOf }) => insteadOf !== null).length;
  const seasonal = made.filled.filter(({ food }) => {
    const one = foods.get(food);
    return one !== undefined && one.months !== null && inSeason(one, wish.month);
  }).length;
  const own =
    worth.nutrient * nutrients -
    worth.offered * fresh -
    (worth.hour * made.dish.minutes) / 60 -
    (aheadHours(made, foods) > 0 ? worth.begunAhead : 0) -
    worth.standIn * standIns +
    (worth.season * seasonal) / made.filled.length;
  return { made, own, fills };
}

/** The worth of a set: own worths and every gap filled by at least one. */
export function worthOf(set: readonly Valued[], gaps: readonly number[]): number {
  const filled = set.reduce((bits, { fills }) => bits | fills, 0);
  return set.reduce((sum, { own }) => sum + own, 0) + gapsFilled(filled, gaps);
}

const gapsFilled = (bits: number, gaps: readonly number[]): number =>
  gaps.reduce((sum, gap, at) => ((bits >> at) & 1 ? sum + gap : sum), 0);

/**
 * The best set of three (or of as many dishes as there are), one way for each dish. Branch and bound: a set is left as soon as its worth and the
 * best that the remaining ways could add, each by itself, cannot reach the best found. Filling a gap twice counts once, so
 * what a way adds is never more than what it is worth alone, and nothing better is missed.
 */
export function bestSet(ways: readonly Valued[], gaps: readonly number[]): readonly Valued[] {
  const alone = (one: Valued): number => one.own + gapsFilled(one.fills, gaps);
  const sorted = ways.map((one) => ({ one, alone: alone(one) })).sort((a, b) => b.alone - a.alone);
  const size = Math.min(mostDishes, new Set(ways.map(({ made }) => made.dish.id)).size);
  let best: readonly Valued[] = [];
  let bestWorth = Number.NEGATIVE_INFINITY;
  const extend = (from: number, so: readonly Valued[], own: number, bits: number): void => {
    if (so.length === size) {
      const total = own + gapsFilled(bits, gaps);
      if (total > bestWorth + 1e-12) {
        best = so;
        bestWorth = total;
      }
      return;
    }
    const reached = own + gapsFilled(bits, gaps);
    for (let at = from; at < sorted.length; at++) {
      const next = sorted[at];
      if (next === undefined) return;
      if (reached + next.alone * (size - so.length) <= bestWorth + 1e-12) return;
      if (so.some(({ made }) => made.dish === next.one.made.dish)) continue;
      extend(at + 1, [...so, next.one], own + next.one.own, bits | next.one.fills);
    }
  };
  extend(0, [], 0, 0);
  return best;
}
