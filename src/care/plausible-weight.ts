import { correctedAgeDays } from './age.ts';
import { expectedGrams, medianGrams, type WhoseGrowth } from './expected-weight.ts';
import type { Weighing } from './weighings.ts';

/** Grams between which a weight can be a baby's of 0-24 months. Source: common practice, no source. */
export const plausibleGrams = { min: 500, max: 15_000 } as const;

/** Why a weight is asked again: kilos typed for grams, a digit too many or too few, or far off the baby's own path. */
export type DoubtfulWhy =
  | 'kilos-for-grams'
  | 'ten-times'
  | 'a-tenth'
  | 'too-light'
  | 'too-heavy'
  | 'after-today';

/** `meantGrams` is the weight she may have meant, to be asked back and never used unasked. */
export type WeightVerdict =
  | { readonly kind: 'plausible' }
  | { readonly kind: 'ask-again'; readonly why: DoubtfulWhy; readonly meantGrams?: number };

/**
 * Whether a weight can stand, against the baby's own path from an earlier weight (or birth weight) when there is one, and
 * against the median of the age when there is none. Off the path: more than 5 g for each day between plus 800 g; from the
 * median: under half (from 500 g before the due day) or over double.
 * Source: common practice, no source.
 */
export function plausibleWeight(
  weight: Weighing,
  before: Weighing | undefined,
  whose: WhoseGrowth,
): WeightVerdict {
  const expected =
    before === undefined ? medianGrams(whose, weight.day) : expectedGrams(whose, before, weight.day);
  const early = correctedAgeDays(weight.day, whose.gestationWeeks) < 0;
  const allowed = before === undefined ? undefined : 5 * Math.abs(weight.day - before.day) + 800;
  const least = allowed === undefined ? (early ? plausibleGrams.min : expected / 2) : expected - allowed;
  const most = allowed === undefined ? expected * 2 : expected + allowed;
  const fits = (grams: number): boolean =>
    grams >= Math.max(least, plausibleGrams.min) && grams <= Math.min(most, plausibleGrams.max);
  if (fits(weight.g)) return { kind: 'plausible' };
  const slips: readonly (readonly [DoubtfulWhy, number])[] = [
    ['kilos-for-grams', weight.g * 1000],
    ['ten-times', weight.g / 10],
    ['a-tenth', weight.g * 10],
  ];
  const meant = slips.find(([, grams]) => fits(grams));
  if (meant !== undefined) return { kind: 'ask-again', why: meant[0], meantGrams: Math.round(meant[1]) };
  return { kind: 'ask-again', why: weight.g < expected ? 'too-light' : 'too-heavy' };
}
