import type { Reason } from './reason.ts';
import type { Weighing } from './weighings.ts';

const lossSource = 'ABM Protocol 3; NICE NG75 (10 %); 12.5 % is common practice, no source';
const regainSource = 'NICE NG75 (3 weeks); WHO';

/** Loss from birth weight in percent of it; 0 when the weight is not below. */
export function lossPercent(birthWeightGrams: number, grams: number): number {
  return Math.max(0, ((birthWeightGrams - grams) * 100) / birthWeightGrams);
}

/** A loss in percent to 0.01 for showing: rounded, but never up to a cut of the tiers (7, 10, 12.5) that it does not reach. */
export function shownLossPercent(percent: number): number {
  const nearest = Math.round(percent * 100) / 100;
  const reachesCut = [7, 10, 12.5].some((cut) => percent < cut && nearest >= cut);
  return reachesCut ? Math.floor(percent * 100) / 100 : nearest;
}

/**
 * Loss from birth weight, the weight as told: 7 % or more C, 10 % or more B and A with any danger sign, 12.5 % or more A.
 * Compared in whole numbers, so that exactly 10 % is 10 %.
 * Source: ABM Protocol 3; NICE NG75 (10 %); 12.5 %: common practice.
 */
export function lossReason(
  birthWeightGrams: number,
  latest: Weighing,
  anyDangerSign: boolean,
): Reason<'weight-loss'> | undefined {
  const lost = birthWeightGrams - latest.g;
  const values = {
    lossPercent: shownLossPercent(lossPercent(birthWeightGrams, latest.g)),
    lostGrams: Math.round(lost * 10) / 10,
    birthWeightGrams,
    day: latest.day,
  };
  const of = (tier: 'A' | 'B' | 'C'): Reason<'weight-loss'> => ({
    code: 'weight-loss',
    tier,
    values,
    source: lossSource,
  });
  if (lost * 1000 >= birthWeightGrams * 125) return of('A');
  if (lost * 10 >= birthWeightGrams) return of(anyDangerSign ? 'A' : 'B');
  return lost * 100 >= birthWeightGrams * 7 ? of('C') : undefined;
}

/**
 * Birth weight not regained, the weight as told: still below it on day 14 C, on day 21 B (days since birth).
 * Source: NICE NG75 (3 weeks); WHO.
 */
export function regainReason(birthWeightGrams: number, latest: Weighing): Reason<'not-regained'> | undefined {
  if (latest.g >= birthWeightGrams || latest.day < 14) return undefined;
  return {
    code: 'not-regained',
    tier: latest.day >= 21 ? 'B' : 'C',
    values: {
      shortGrams: Math.round((birthWeightGrams - latest.g) * 10) / 10,
      birthWeightGrams,
      day: latest.day,
    },
    source: regainSource,
  };
}

/** The first day after the day of birth on which a weight was at or over birth weight; undefined when none was. Oldest first. */
export function regainedOnDay(birthWeightGrams: number, weights: readonly Weighing[]): number | undefined {
  return weights.find((weight) => weight.day > 0 && weight.g >= birthWeightGrams)?.day;
}
