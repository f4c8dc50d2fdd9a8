import { correctedAgeDays } from './age.ts';
import { type Sex, weightForAgeLms } from './weight-for-age.ts';
import type { Weighing } from './weighings.ts';

/** What is needed to place a baby in the growth tables. */
export interface WhoseGrowth {
  readonly sex?: Sex | null | undefined;
  readonly gestationWeeks?: number | null | undefined;
}

/** What a baby born early gains before her due day, in g/day: only to place a weight. Source: common practice, no source. */
const gainBeforeDueDay = 25;

/**
 * Median weight in grams at an age since birth, corrected when born early; the mean of both sexes when sex is not known.
 * Before the due day less by 25 g for each day to go; beyond 24 months the last day of the tables.
 * Source: WHO Child Growth Standards, 2006; before the due day: common practice.
 */
export function medianGrams(whose: WhoseGrowth, day: number): number {
  const corrected = correctedAgeDays(day, whose.gestationWeeks);
  const at = Math.min(Math.max(corrected, 0), 730);
  // Born before 26 weeks: the line would come near zero, and says nothing.
  const toGo = Math.min(Math.max(0, -corrected), 100);
  const of = (sex: Sex): number =>
    (weightForAgeLms(sex, at)?.medianGrams ?? Number.NaN) - toGo * gainBeforeDueDay;
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
