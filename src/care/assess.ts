import { fewStoolsBornSmall, tierTogether } from './concern-pairs.ts';
import { dangerTier } from './danger.ts';
import {
  type FeedingAssessment,
  type GoodCode,
  feedingAdequacy,
  isSmallAndYoung,
  reasonCodes,
} from './feeding-adequacy.ts';
import type { FeedingAnswers } from './feeding-answers.ts';
import { growth, type GrowthAssessment, type GrowthGoodCode, growthReasonCodes } from './growth.ts';
import { type MoodAnswers, moodReason, moodReasonCodes } from './mood.ts';
import { byWeight, type Reason } from './reason.ts';
import { babySignCodes, motherSignCodes, type Sign, type Tier } from './signs.ts';
import { silenceReason } from './silence.ts';
import { mostUrgent, urgency } from './tier.ts';
import { type DayAnswers, trendReasonCodes, trendReasons } from './trend.ts';
import type { GrowthAnswers, Weighing } from './weighings.ts';

/** All that is known of one mother and one baby at one time. Everything but the age may be unknown. */
export interface AssessCase extends FeedingAnswers {
  readonly sex?: GrowthAnswers['sex'];
  readonly weights?: readonly Weighing[] | undefined;
  /** Danger signs of mother and baby, as told. */
  readonly signs?: readonly Sign[] | undefined;
  readonly mood?: MoodAnswers | undefined;
  /** Check-ins of the last days, for what several days say together. */
  readonly days?: readonly DayAnswers[] | undefined;
  readonly missedInARow?: number | undefined;
  /** The most urgent concern still open from before. */
  readonly openTier?: Tier | undefined;
}

/** The one thing to do next, chosen by the first reason. Technique, counting, weighing or a person; never a food or a remedy. */
export const assessAdviceCodes = [
  'go-now',
  'stay-with-someone',
  'person-today',
  'person-soon',
  'weigh-again',
  'latch',
  'latch-and-drain',
  'feed-more-often',
  'wake-to-feed',
  'feed-at-night',
  'count-feeds-and-nappies',
  'keep-going',
] as const;
export type AssessAdviceCode = (typeof assessAdviceCodes)[number];

export interface Assessment {
  readonly tier: Tier;
  /** By weight; the first is the one to speak of. Reasons of tier none are worth knowing. */
  readonly reasons: readonly Reason[];
  readonly good: GoodCode | GrowthGoodCode | null;
  readonly growth: GrowthAssessment;
  readonly advice: AssessAdviceCode;
}

const remarks: readonly string[] = [
  'concerns-together',
  'weight-doubtful',
  'could-not-tell',
  'small-or-early',
  'age-corrected',
];

/** All codes a reason of an assessment can have, weightiest first within a tier. */
export const assessReasonCodes: readonly string[] = [
  ...new Set(
    [
      ...babySignCodes,
      ...motherSignCodes,
      ...moodReasonCodes,
      ...growthReasonCodes,
      ...reasonCodes,
      ...trendReasonCodes,
    ].filter((code) => !remarks.includes(code)),
  ),
  ...remarks,
];

/**
 * One tier for a mother and baby, with every reason: danger signs, weight, feeding, mood, and what several days say together.
 * Two concerns of tier C of different kinds under 14 days make B. Feeds so few that the baby feeds poorly make jaundice graver.
 * Source: beside each rule. It sorts whom to reach first; it diagnoses nothing.
 */
export function assess(known: AssessCase): Assessment {
  const signs = known.signs ?? [];
  const weighed = growth(
    { ...known, weights: known.weights ?? [] },
    signs.some((sign) => sign.who === 'baby'),
  );
  const feeding = feedingAdequacy({
    ...known,
    weighedLately:
      weighed.latest !== undefined && weighed.latest.day > 0 && known.ageDays - weighed.latest.day <= 2,
    gainingWell: known.gainingWell ?? weighed.good === 'gaining-well',
  });
  const danger = dangerTier(signs, {
    babyAgeDays: known.ageDays,
    motherDays: known.ageDays,
    ...(feedsPoorly(feeding) ? { feedsWell: false } : {}),
  });
  const found: readonly Reason[] = [
    ...danger.reasons,
    ...weighed.reasons,
    ...feeding.reasons,
    ...[
      moodReason(known.mood ?? {}),
      silenceReason(known.missedInARow ?? 0, known.ageDays, known.openTier),
    ].filter((reason) => reason !== undefined),
    ...trendReasons(known.days ?? []),
  ];
  const alone = mostUrgent(found.map((reason) => reason.tier));
  const ofBaby = danger.reasons.filter((reason) => reason.values['who'] === 'baby');
  const tier = mostUrgent([
    feeding.tier,
    tierTogether(found, known.ageDays),
    isSmallAndYoung(known) ? fewStoolsBornSmall(feeding.reasons, [...weighed.reasons, ...ofBaby]) : 'none',
  ]);
  const joined = urgency(tier) > urgency(alone) ? [...found, togetherReason(tier, found)] : found;
  const reasons = byWeight(joined, assessReasonCodes);
  const growing = weighed.reasons.every((reason) => reason.tier === 'none') ? weighed.good : null;
  return { tier, reasons, good: growing ?? feeding.good, growth: weighed, advice: adviceFor(reasons, tier) };
}

function feedsPoorly(feeding: FeedingAssessment): boolean {
  return feeding.reasons.some(
    (reason) => reason.code === 'feeds-few' && urgency(reason.tier) >= urgency('B'),
  );
}

function togetherReason(tier: Tier, found: readonly Reason[]): Reason {
  const count = found.filter((reason) => reason.tier !== 'none' && !remarks.includes(reason.code)).length;
  return { code: 'concerns-together', tier, values: { count }, source: 'common practice, no source' };
}

const signCodes: readonly string[] = [...babySignCodes, ...motherSignCodes];

function adviceFor(reasons: readonly Reason[], tier: Tier): AssessAdviceCode {
  const first = reasons.find((reason) => reason.tier !== 'none' && reason.code !== 'concerns-together');
  if (first === undefined) return 'keep-going';
  if (tier === 'A') return isOfHarm(first.code) ? 'stay-with-someone' : 'go-now';
  if (signCodes.includes(first.code)) return tier === 'B' ? 'person-today' : 'person-soon';
  switch (first.code) {
    case 'low-mood':
    case 'worry-twice':
      return 'person-today';
    case 'some-low-mood':
    case 'silent':
      return 'person-soon';
    case 'weight-doubtful':
      return 'weigh-again';
    case 'could-not-tell':
      return 'count-feeds-and-nappies';
    case 'feeds-few':
    case 'feeds-falling':
      return 'feed-more-often';
    case 'gap-long':
      return 'wake-to-feed';
    case 'night-feeds-none':
      return 'feed-at-night';
    case 'transfer-poor':
    case 'pain-severe':
    case 'pain-lasting':
    case 'pain-persists':
      return 'latch';
    default:
      return 'latch-and-drain';
  }
}

function isOfHarm(code: string): boolean {
  return code === 'self-harm' || code === 'harm-baby' || code === 'thoughts-of-harm';
}
