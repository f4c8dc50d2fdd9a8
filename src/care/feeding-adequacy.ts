import type { FeedingAnswers } from './feeding-answers.ts';
import { fourWeeksDays, feedsReason, gapReason, nightReason, sixMonthsDays } from './feeding-amount.ts';
import { painReason, transferReason } from './feeding-comfort.ts';
import { expectedWetNappies, stoolReason, urineReason, wetReason } from './feeding-nappies.ts';
import { tierTogether } from './concern-pairs.ts';
import { byWeight, type Reason } from './reason.ts';
import type { Tier } from './signs.ts';
import { oneStepMoreUrgent } from './tier.ts';
import { atLeastTold } from './told.ts';

/** Every reason the feeding rules can give, weightiest first within a tier. */
export const reasonCodes = [
  'wet-none',
  'wet-few',
  'feeds-few',
  'stool-none-first-48h',
  'urine-dark',
  'stool-black',
  'transfer-poor',
  'gap-long',
  'stools-few',
  'pain-severe',
  'night-feeds-none',
  'pain-lasting',
  'could-not-tell',
] as const;
export type FeedingReasonCode = (typeof reasonCodes)[number];

/** What can be going well, the best proof first. */
export const goodCodes = [
  'gaining-well',
  'wet-nappies-well',
  'stools-well',
  'feeds-well',
  'breast-softer',
  'swallowing-heard',
  'night-feeds-kept',
  'no-pain',
] as const;
export type GoodCode = (typeof goodCodes)[number];

/** The one thing to do next. All are technique, counting or a person: never a food, a drink or a powder. */
export const adviceCodes = [
  'go-now',
  'latch',
  'latch-and-drain',
  'feed-more-often',
  'wake-to-feed',
  'feed-at-night',
  'count-feeds-and-nappies',
  'keep-going',
] as const;
export type AdviceCode = (typeof adviceCodes)[number];

export interface FeedingAssessment {
  readonly tier: Tier;
  /** By weight, the first one first told. */
  readonly reasons: readonly Reason<FeedingReasonCode>[];
  /** Null when nothing is known to go well. */
  readonly good: GoodCode | null;
  readonly advice: AdviceCode;
}

/**
 * Whether one baby seems to get enough at the breast, from what the mother told of the last 24 hours.
 * Under 14 days two or more of feeds, wet nappies and stools unknown is C: unknown never reads as good.
 * A baby born under 2500 g has every tier one step more urgent under 28 days; none stays none.
 * Source: beside each rule; low birth weight cut-off: WHO; the step: common practice. To be reviewed by a clinical lead.
 */
export function feedingAdequacy(answers: FeedingAnswers): FeedingAssessment {
  const told = [
    feedsReason(answers),
    gapReason(answers),
    nightReason(answers),
    wetReason(answers),
    urineReason(answers),
    stoolReason(answers),
    transferReason(answers),
    painReason(answers),
    unknownReason(answers),
  ].filter((reason) => reason !== undefined);
  const small = isSmallAndYoung(answers);
  const step = (tier: Tier): Tier => (small ? oneStepMoreUrgent(tier) : tier);
  const reasons = byWeight<FeedingReasonCode>(
    told.map((reason) => ({ ...reason, tier: step(reason.tier) })),
    reasonCodes,
  );
  return {
    tier: step(tierTogether(told, answers.ageDays)),
    reasons,
    good: goodOf(answers),
    advice: adviceFor(reasons[0]),
  };
}

/** Low birth weight: under 2500 g, and under 28 days old. Source: WHO (cut-off); common practice (until when). */
export function isSmallAndYoung({ ageDays, birthWeightGrams }: FeedingAnswers): boolean {
  return (
    birthWeightGrams !== null &&
    birthWeightGrams !== undefined &&
    birthWeightGrams < 2500 &&
    ageDays < fourWeeksDays
  );
}

function unknownReason(answers: FeedingAnswers): Reason<'could-not-tell'> | undefined {
  if (answers.ageDays >= 14) return undefined;
  const asked = [answers.feeds24h, answers.wetNappies24h, answers.stools24h];
  const unasked = asked.every((told) => told === undefined) && !tellsOfFeeding(answers);
  if (answers.weighedLately === true && unasked) return undefined;
  const unknown = asked.filter((told) => atLeastTold(told) === undefined).length;
  if (unknown < 2) return undefined;
  return { code: 'could-not-tell', tier: 'C', values: { unknown }, source: 'common practice, no source' };
}

/** Something else of the feeding was told, so that it was asked after. */
function tellsOfFeeding({
  longestGapHours,
  nightFeeds,
  pain,
  softAfterFeed,
  swallowing,
}: FeedingAnswers): boolean {
  return [longestGapHours, nightFeeds, pain, softAfterFeed, swallowing].some(
    (told) => told !== null && told !== undefined,
  );
}

function goodOf(answers: FeedingAnswers): GoodCode | null {
  const { ageDays } = answers;
  const [feeds, wet, stools, night] = [
    answers.feeds24h,
    answers.wetNappies24h,
    answers.stools24h,
    answers.nightFeeds,
  ].map(atLeastTold);
  const well: Readonly<Record<GoodCode, boolean>> = {
    'gaining-well': answers.gainingWell === true,
    'wet-nappies-well': wet !== undefined && wet >= expectedWetNappies(ageDays) && answers.darkUrine !== true,
    'stools-well': stools !== undefined && stools >= 3 && answers.blackStool !== true && ageDays >= 3,
    'feeds-well':
      feeds !== undefined &&
      feeds >= (ageDays < 42 ? 8 : 7) &&
      ageDays < sixMonthsDays &&
      transferReason(answers) === undefined,
    'breast-softer': answers.softAfterFeed === 'yes',
    'swallowing-heard': answers.swallowing === 'yes',
    'night-feeds-kept': night !== undefined && night >= 1,
    'no-pain': answers.pain === 'none' && answers.crackedNipple !== true,
  };
  return goodCodes.find((code) => well[code]) ?? null;
}

function adviceFor(first: Reason<FeedingReasonCode> | undefined): AdviceCode {
  if (first === undefined) return 'keep-going';
  if (first.tier === 'A') return 'go-now';
  switch (first.code) {
    case 'feeds-few':
      return 'feed-more-often';
    case 'gap-long':
      return 'wake-to-feed';
    case 'night-feeds-none':
      return 'feed-at-night';
    case 'could-not-tell':
      return 'count-feeds-and-nappies';
    case 'transfer-poor':
    case 'pain-severe':
    case 'pain-lasting':
      return 'latch';
    default:
      return 'latch-and-drain';
  }
}
