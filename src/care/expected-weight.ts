import { correctedAgeDays } from './age.ts';
import { type Sex, weightForAgeLms } from './weight-for-age.ts';
import type { Weighing } from './weighings.ts';

/** What is needed to place a baby in the growth tables. */
export interface WhoseGrowth {
  readonly sex?: Sex | null | undefined;
  readonly gestationWeeks?: number | null | undefined;
}

/**
 * Median weight in grams at an age since birth, corrected when born early; the mean of both sexes when sex is not known.
 * Before the due day and beyond 24 months the nearest day of the tables.
 * Source: WHO Child Growth Standards, 2006.
 */
export function medianGrams(whose: WhoseGrowth, day: number): number {
  const at = Math.min(Math.max(correctedAgeDays(day, whose.gestationWeeks), 0), 730);
  const of = (sex: Sex): number => weightForAgeLms(sex, at)?.medianGrams ?? Number.NaN;
  if (whose.sex === 'boy' || whose.sex === 'girl') return of(whose.sex);
  return (of('boy') + of('girl')) / 2;
}

/**
 * The weight to expect on a later day: the earlier weight and what the median baby gains between, in grams.
 * Source: WHO Child Growth Standards, 2006 (medians); the path itself is common practice.
 */
export function expectedGrams(whose: WhoseGrowth, before: Weighing, day: number): number {
  return before.g + medianGrams(whose, day) - medianGrams(whose, before.day);
}
