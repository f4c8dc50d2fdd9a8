import { correctedAgeDays, daysInMonth } from './age.ts';
import type { Reason } from './reason.ts';
import type { Tier } from './signs.ts';
import { mostUrgent } from './tier.ts';
import { slowestUsualGramsPerDay } from './velocity.ts';
import type { Sex } from './weight-for-age.ts';
import {
  type Gain,
  gainBetween,
  gainDaysForTier,
  gainDaysLeast,
  middleDay,
  scaleNoiseGrams,
  type Weighing,
} from './weighings.ts';

const earlySource = 'common practice, no source (15 and 20 g a day)';
const lossSource = 'common practice, no source';
const velocitySource = 'WHO growth velocity standards, 2009 (5th centile of one-month increments)';

/** Usual gain from day 5 to 28, and the cut below which a person speaks with her today, in g/day. Source: common practice. */
export const earlyGain = { usualGramsPerDay: 20, tooSlowGramsPerDay: 15 } as const;

/** Windows longer than this are only looked at when no shorter one reaches back far enough. */
const longestWindowDays = 35;

/** Whose gain it is. `attainedZ` is the z-score of the last weight, where known. */
export interface WhoseGain {
  readonly sex?: Sex | null | undefined;
  readonly gestationWeeks?: number | null | undefined;
  readonly attainedZ?: number | undefined;
}

/** The last gain over 7 days or more, else over 3 or more; undefined when there is none. Oldest weight first. */
export function latestGain(weights: readonly Weighing[]): Gain | undefined {
  const to = weights.at(-1);
  if (to === undefined) return undefined;
  const from =
    weights.findLast((weight) => to.day - weight.day >= gainDaysForTier) ??
    weights.find((weight) => to.day - weight.day >= gainDaysLeast);
  return from === undefined ? undefined : gainBetween(from, to);
}

/**
 * What the gains that end with the last weight say. Day 5 to 28: under 20 g/day C, under 15 B. Later: under P5 of the WHO
 * increments C; twice in a row, or once with z below -2, B; after 6 months, with no loss, once alone is no reason. A loss
 * between two weights from day 7 to 6 months is B. Each must hold with 100 g given in the baby's favour, and the latest 7 days
 * or more must point the same way as measured. Bands by corrected age for babies born early.
 * Source: day 5 to 28: common practice; later: WHO growth velocity, 2009.
 */
export function gainReason(
  weights: readonly Weighing[],
  whose: WhoseGain,
): Reason<'gain-slow' | 'weight-falling'> | undefined {
  const latest = latestGain(weights);
  if (latest === undefined) return undefined;
  return fallingReason(weights) ?? slowReason(weights, latest, whose);
}

/** Slow for the age: 'C' or 'B' by the day 5-28 cuts, 'P5' by the increment tables. */
type Slowness = 'none' | 'C' | 'B' | 'P5';

function slowReason(
  weights: readonly Weighing[],
  latest: Gain,
  whose: WhoseGain,
): Reason<'gain-slow'> | undefined {
  if (latest.days < gainDaysForTier || slowness(latest, whose, 0) === 'none') return undefined;
  const windows = windowsEndingAt(latest.to, weights);
  const found = windows
    .map((gain) => ({ gain, tier: tierOf(gain, weights, whose) }))
    .filter(({ tier }) => tier !== 'none');
  const tier = mostUrgent(found.map((window) => window.tier));
  const told = found.find((window) => window.tier === tier)?.gain;
  if (told === undefined) return undefined;
  const cut = usualGramsPerDay(told, whose);
  return {
    code: 'gain-slow',
    tier,
    values: {
      gramsPerDay: rounded(told.grams / told.days),
      gainGrams: rounded(told.grams),
      days: told.days,
      ...(cut === undefined ? {} : { usualGramsPerDay: rounded(cut) }),
    },
    source: isEarly(told, whose) ? earlySource : velocitySource,
  };
}

function tierOf(gain: Gain, weights: readonly Weighing[], whose: WhoseGain): Tier {
  const slow = slowness(gain, whose, scaleNoiseGrams);
  if (slow !== 'P5') return slow;
  const slowBefore = windowsEndingAt(gain.from, weights).some(
    (before) => slowness(before, whose, scaleNoiseGrams) !== 'none',
  );
  if (slowBefore || (whose.attainedZ !== undefined && whose.attainedZ < -2)) return 'B';
  return middleDay(gain) >= 6 * daysInMonth && gain.grams >= 0 ? 'none' : 'C';
}

/** Gains over 7 days or more that end with one weight: the latest, and the longer ones up to five weeks. */
function windowsEndingAt(to: Weighing, weights: readonly Weighing[]): readonly Gain[] {
  const gains = weights
    .filter((from) => to.day - from.day >= gainDaysForTier)
    .map((from) => gainBetween(from, to));
  const near = gains.filter((gain) => gain.days <= longestWindowDays);
  return near.length > 0 ? near : gains.slice(-1);
}

function slowness(gain: Gain, whose: WhoseGain, favourGrams: number): Slowness {
  const rate = (gain.grams + favourGrams) / gain.days;
  if (middleDay(gain) < 5) return 'none';
  if (isEarly(gain, whose)) {
    if (rate < earlyGain.tooSlowGramsPerDay) return 'B';
    return rate < earlyGain.usualGramsPerDay ? 'C' : 'none';
  }
  const cut = usualGramsPerDay(gain, whose);
  return cut !== undefined && rate < cut ? 'P5' : 'none';
}

/** The gain still belongs to the band of day 5 to 28; before four weeks of corrected age too. */
function isEarly(gain: Gain, whose: WhoseGain): boolean {
  return correctedAgeDays(middleDay(gain), whose.gestationWeeks) < 28;
}

/** The least usual gain of the band in g/day; the higher of the two sexes when hers is not known: the cautious one. */
function usualGramsPerDay(gain: Gain, whose: WhoseGain): number | undefined {
  if (isEarly(gain, whose)) return earlyGain.usualGramsPerDay;
  const day = correctedAgeDays(middleDay(gain), whose.gestationWeeks);
  if (whose.sex === 'boy' || whose.sex === 'girl') return slowestUsualGramsPerDay(whose.sex, day);
  const [boy, girl] = [slowestUsualGramsPerDay('boy', day), slowestUsualGramsPerDay('girl', day)];
  return boy === undefined || girl === undefined ? undefined : Math.max(boy, girl);
}

function fallingReason(weights: readonly Weighing[]): Reason<'weight-falling'> | undefined {
  const to = weights.at(-1);
  if (to === undefined || to.day >= 6 * daysInMonth) return undefined;
  const from = weights.findLast(
    (weight) => weight.day >= 7 && to.day - weight.day >= gainDaysLeast && weight.g - to.g > scaleNoiseGrams,
  );
  if (from === undefined) return undefined;
  const values = { lostGrams: rounded(from.g - to.g), days: to.day - from.day };
  return { code: 'weight-falling', tier: 'B', values, source: lossSource };
}

function rounded(value: number): number {
  return Math.round(value * 10) / 10;
}
