/** One weighing of a baby: whole days since birth, grams. */
export interface Weighing {
  readonly day: number;
  readonly g: number;
}

/** Oldest first; of two on one day the later in the list is kept. */
export function inOrder(weights: readonly Weighing[]): readonly Weighing[] {
  const byDay = new Map<number, Weighing>();
  for (const weight of weights) byDay.set(weight.day, weight);
  return [...byDay.values()].sort((a, b) => a.day - b.day);
}

/** What growth rules may know of a baby. Undefined or null is unknown. Days are whole days since birth. */
export interface GrowthAnswers {
  readonly sex?: 'girl' | 'boy' | null | undefined;
  readonly ageDays: number;
  readonly birthWeightGrams?: number | null | undefined;
  readonly gestationWeeks?: number | null | undefined;
  /** In any order. Doubtful ones are found and left out of every computation; those known to be doubtful are not given. */
  readonly weights: readonly Weighing[];
}

/** A gain between two weighings after birth. */
export interface Gain {
  readonly from: Weighing;
  readonly to: Weighing;
  readonly days: number;
  readonly grams: number;
}

/** The gain from one weighing to a later one. */
export function gainBetween(from: Weighing, to: Weighing): Gain {
  return { from, to, days: to.day - from.day, grams: to.g - from.g };
}

/** The middle day of a gain, which says to which age band it belongs. */
export function middleDay({ from, to }: Gain): number {
  return (from.day + to.day) / 2;
}

/** Scale, clothes and a full nappy: what is given in the baby's favour. Source: common practice, no source. */
export const scaleNoiseGrams = 100;

/** A gain is never computed over fewer days than this. Source: common practice, no source. */
export const gainDaysLeast = 3;

/** A tier is never drawn from a gain over fewer days than this. Source: common practice, no source. */
export const gainDaysForTier = 7;
