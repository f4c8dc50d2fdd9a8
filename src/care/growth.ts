import { correctedAgeDays, daysInMonth } from './age.ts';
import { attainedReason } from './attained-weight.ts';
import { tierTogether } from './concern-pairs.ts';
import { crossingReason } from './crossing.ts';
import { byWeight, type Reason } from './reason.ts';
import type { Tier } from './signs.ts';
import { urgency } from './tier.ts';
import { type DoubtfulWeighing, type UsableWeights, usableWeights } from './usable-weights.ts';
import { velocityZ } from './velocity.ts';
import { centileOfZ, type Sex, weightForAgeZ } from './weight-for-age.ts';
import { earlyGain, gainReason, latestGain } from './weight-gain.ts';
import { lossPercent, lossReason, regainedOnDay, regainReason } from './weight-loss.ts';
import { type Gain, type GrowthAnswers, middleDay, type Weighing } from './weighings.ts';

/** Every reason the weight rules can give, weightiest first within a tier. */
export const growthReasonCodes = [
  'weight-loss',
  'weight-falling',
  'not-regained',
  'weight-low',
  'gain-slow',
  'crossing-down',
  'weight-doubtful',
  'small-or-early',
  'age-corrected',
] as const;
export type GrowthReasonCode = (typeof growthReasonCodes)[number];

/** What can be going well in the weights, the best proof first. */
export const growthGoodCodes = ['gaining-well', 'birth-weight-regained', 'loss-usual'] as const;
export type GrowthGoodCode = (typeof growthGoodCodes)[number];

/** Everything but `tier`, `reasons`, `good` and `doubtful` is absent when it cannot be worked out. */
export interface GrowthAssessment {
  readonly tier: Tier;
  readonly reasons: readonly Reason<GrowthReasonCode>[];
  readonly good: GrowthGoodCode | null;
  readonly doubtful: readonly DoubtfulWeighing[];
  /** Of the last usable weight, at its own day, corrected for weeks born early. */
  readonly z?: number;
  /** 0 to 100. */
  readonly centile?: number;
  readonly gPerDay?: number;
  readonly gPerWeek?: number;
  readonly gainDays?: number;
  /** Place of the gain among the WHO increments, to 12 months. */
  readonly velocityZ?: number;
  /** Loss from birth weight; 0 when not below it. */
  readonly lossPercent?: number;
  readonly regainedOnDay?: number;
  /** The last usable weighing. */
  readonly latest?: Weighing;
}

/**
 * What the weights of one baby say, in days since birth and grams. Doubtful weights are left out of everything and named; a
 * last weight that is too light to believe still gives the tier that it would have if it were true.
 * @param anyDangerSign a danger sign of the baby is told: a loss of 10 % is then A
 * Source: beside each rule. Correcting the age of babies born early is a simplification, said as a reason of tier none.
 */
export function growth(answers: GrowthAnswers, anyDangerSign = false): GrowthAssessment {
  const usable = usableWeights(answers);
  const found = [...reasonsOf(usable, answers, anyDangerSign)];
  const doubtful = doubtReason(usable, answers, anyDangerSign);
  if (doubtful !== undefined) found.push(doubtful);
  const reasons = byWeight<GrowthReasonCode>(found, growthReasonCodes);
  const latest = usable.weights.at(-1);
  const z = latest === undefined ? undefined : zAt(answers, latest);
  const gain = latestGain(usable.weights);
  const birth = usable.birthWeightGrams;
  const regained = birth === undefined ? undefined : regainedOnDay(birth, usable.weights);
  return {
    tier: tierTogether(reasons, answers.ageDays),
    reasons,
    good: goodOf(usable, gain, answers),
    doubtful: usable.doubtful,
    ...(latest === undefined ? {} : { latest }),
    ...(z === undefined ? {} : { z, centile: centileOfZ(z) }),
    ...(gain === undefined ? {} : gainFigures(gain, answers)),
    ...(birth === undefined || latest === undefined ? {} : { lossPercent: lossPercent(birth, latest.g) }),
    ...(regained === undefined ? {} : { regainedOnDay: regained }),
  };
}

function reasonsOf(
  { weights, birthWeightGrams }: Pick<UsableWeights, 'weights' | 'birthWeightGrams'>,
  answers: GrowthAnswers,
  anyDangerSign: boolean,
): readonly Reason<GrowthReasonCode>[] {
  const latest = weights.at(-1);
  const attainedZ = latest === undefined ? undefined : cautiousZ(answers, latest);
  const birthZ = birthWeightGrams === undefined ? undefined : zAt(answers, { day: 0, g: birthWeightGrams });
  const { sex, gestationWeeks } = answers;
  return [
    ...(birthWeightGrams === undefined || latest === undefined
      ? []
      : [lossReason(birthWeightGrams, latest, anyDangerSign), regainReason(birthWeightGrams, latest)]),
    gainReason(weights, { sex, gestationWeeks, attainedZ }),
    attainedReason(attainedZ),
    crossingReason(weights, (weight) => cautiousZ(answers, weight), birthZ),
    smallReason(birthWeightGrams, gestationWeeks),
    correctionReason(answers),
  ].filter((reason) => reason !== undefined);
}

/** z by known sex only. */
function zAt({ sex, gestationWeeks }: GrowthAnswers, weight: Weighing): number | undefined {
  if (sex !== 'boy' && sex !== 'girl') return undefined;
  return weightForAgeZ(sex, correctedAgeDays(weight.day, gestationWeeks), weight.g);
}

/** z by known sex; the lower of the two when the sex is not known, for unknown never reads as good. */
function cautiousZ(answers: GrowthAnswers, weight: Weighing): number | undefined {
  const known = zAt(answers, weight);
  if (known !== undefined || answers.sex === 'boy' || answers.sex === 'girl') return known;
  const both = (['boy', 'girl'] as const satisfies readonly Sex[]).map((sex) =>
    zAt({ ...answers, sex }, weight),
  );
  return both.reduce((low, z) => (low === undefined || (z !== undefined && z < low) ? z : low), undefined);
}

function doubtReason(
  usable: UsableWeights,
  answers: GrowthAnswers,
  anyDangerSign: boolean,
): Reason<'weight-doubtful'> | undefined {
  const doubt = usable.doubtful.at(-1);
  if (doubt === undefined) return undefined;
  const tier = tierIfTrue(doubt, usable, answers, anyDangerSign);
  const values = {
    grams: doubt.g,
    day: doubt.day,
    why: doubt.why,
    ...(doubt.meantGrams === undefined ? {} : { meantGrams: doubt.meantGrams }),
    ...(tier === 'C' ? {} : { ifTrue: tier }),
  };
  return {
    code: 'weight-doubtful',
    tier,
    values,
    source: 'common practice, no source',
  };
}

/** A last weight too light to believe is as grave as if it were true: a slip costs a call, a true loss costs the baby. */
function tierIfTrue(
  doubt: DoubtfulWeighing,
  usable: UsableWeights,
  answers: GrowthAnswers,
  anyDangerSign: boolean,
): Tier {
  const later = usable.weights.some((weight) => weight.day >= doubt.day);
  if (doubt.birth || later || doubt.why !== 'too-light' || doubt.g < 500) return 'C';
  const asTold = { ...usable, weights: [...usable.weights, { day: doubt.day, g: doubt.g }] };
  const tier = tierTogether(reasonsOf(asTold, answers, anyDangerSign), answers.ageDays);
  return urgency(tier) > urgency('C') ? tier : 'C';
}

/** Born under 2000 g or before 34 weeks: followed by the counsellor, never by the line alone. Source: WHO (cut-offs). */
function smallReason(
  birthWeightGrams: number | undefined,
  gestationWeeks: number | null | undefined,
): Reason<'small-or-early'> | undefined {
  const small = birthWeightGrams !== undefined && birthWeightGrams < 2000;
  const early = gestationWeeks !== undefined && gestationWeeks !== null && gestationWeeks < 34;
  if (!small && !early) return undefined;
  const values = {
    ...(birthWeightGrams === undefined ? {} : { birthWeightGrams }),
    ...(gestationWeeks === undefined || gestationWeeks === null ? {} : { gestationWeeks }),
  };
  return {
    code: 'small-or-early',
    tier: 'none',
    values,
    source: 'WHO (cut-offs for low birth weight and early birth)',
  };
}

function correctionReason({ ageDays, gestationWeeks }: GrowthAnswers): Reason<'age-corrected'> | undefined {
  const corrected = correctedAgeDays(ageDays, gestationWeeks);
  if (corrected === ageDays || gestationWeeks === undefined || gestationWeeks === null) return undefined;
  const values = { correctedAgeDays: corrected, gestationWeeks };
  return { code: 'age-corrected', tier: 'none', values, source: 'common practice, no source' };
}

function gainFigures(gain: Gain, answers: GrowthAnswers): Partial<GrowthAssessment> {
  const gPerDay = gain.grams / gain.days;
  const place = gainPlace(gain, answers);
  return {
    gPerDay,
    gPerWeek: gPerDay * 7,
    gainDays: gain.days,
    ...(place === undefined ? {} : { velocityZ: place }),
  };
}

function gainPlace(gain: Gain, { sex, gestationWeeks }: GrowthAnswers): number | undefined {
  if (sex !== 'boy' && sex !== 'girl') return undefined;
  return velocityZ(sex, gain.grams / gain.days, gain.days, correctedAgeDays(middleDay(gain), gestationWeeks));
}

/** Gaining well: 20 g/day in the first four weeks, later at least the 25th WHO centile (z -0.67) of increments. */
function goodOf(
  usable: UsableWeights,
  gain: Gain | undefined,
  answers: GrowthAnswers,
): GrowthGoodCode | null {
  const birth = usable.birthWeightGrams;
  const latest = usable.weights.at(-1);
  if (latest === undefined || answers.ageDays - latest.day > daysInMonth) return null;
  if (gain !== undefined && middleDay(gain) >= 5) {
    const place = gainPlace(gain, answers);
    const well =
      middleDay(gain) < 28
        ? gain.grams / gain.days >= earlyGain.usualGramsPerDay
        : place !== undefined && place >= -0.67;
    if (well) return 'gaining-well';
  }
  if (birth === undefined || latest.day < 1) return null;
  if (latest.g >= birth) return latest.day <= 42 ? 'birth-weight-regained' : null;
  return latest.day < 14 && (birth - latest.g) * 100 < birth * 7 ? 'loss-usual' : null;
}
