import { reasonCodes } from '../feeding-adequacy.ts';
import { growthReasonCodes } from '../growth.ts';
import { moodReasonCodes } from '../mood.ts';
import { babySignCodes, motherSignCodes } from '../signs.ts';
import { trendReasonCodes } from '../trend.ts';

/** Answers of a check-in that are no reason of a rule and still call for a tip. */
const answerCodes = ['some-pain', 'no-help-at-home', 'not-seen-since-birth'] as const;

/**
 * What was lately told of her or her baby, as a code: `sign.baby.…` and `sign.mother.…` are the danger signs, `reason.…` the reasons
 * of the care rules, both the names of their texts; `answer.…` is an answer of a check-in.
 */
export type TipConcern =
  | `sign.baby.${(typeof babySignCodes)[number]}`
  | `sign.mother.${(typeof motherSignCodes)[number]}`
  | `reason.${
      | (typeof reasonCodes)[number]
      | (typeof growthReasonCodes)[number]
      | (typeof moodReasonCodes)[number]
      | (typeof trendReasonCodes)[number]}`
  | `answer.${(typeof answerCodes)[number]}`;

/** Every code that a tip may name as the concern it answers. */
export const tipConcerns: readonly TipConcern[] = [
  ...babySignCodes.map((code) => `sign.baby.${code}` as const),
  ...motherSignCodes.map((code) => `sign.mother.${code}` as const),
  ...[...reasonCodes, ...growthReasonCodes, ...moodReasonCodes, ...trendReasonCodes].map(
    (code) => `reason.${code}` as const,
  ),
  ...answerCodes.map((code) => `answer.${code}` as const),
];
