import type { Reason } from './reason.ts';

const source = 'PHQ-2 (Kroenke, Spitzer, Williams, 2003); a score of 2: BMC Pregnancy and Childbirth, 2020';

/** Every reason the mood rules can give, weightiest first. */
export const moodReasonCodes = ['thoughts-of-harm', 'low-mood', 'some-low-mood'] as const;
export type MoodReasonCode = (typeof moodReasonCodes)[number];

/** Ages in days when the two questions are asked: 2, 6 and 12 weeks. Source: common practice, no source. */
const moodAsksAtDays = [14, 42, 84] as const;

/** Days after its age in which a mood talk is still asked for, when it was missed. */
const askWithinDays = 14;

/** Answers over the last two weeks, each 0 not at all to 3 nearly every day. Undefined or null is unknown. */
export interface MoodAnswers {
  readonly littleInterest?: number | null | undefined;
  readonly feelingDown?: number | null | undefined;
  /** Any thought of harming herself or the baby, or hearing or seeing what others do not. */
  readonly thoughtsOfHarm?: boolean | null | undefined;
}

/**
 * What the two mood questions say: 3 or more of 6 B, 2 C; any thought of harm A whatever the score. An unknown answer counts
 * as none of its points, and never as well: a low score is never told as good.
 * @throws RangeError when an answer is not 0, 1, 2 or 3
 * Source: PHQ-2 (Kroenke, Spitzer, Williams, 2003); 2 as C: sensitivity around birth, BMC Pregnancy and Childbirth, 2020;
 * harm: WHO mhGAP.
 */
export function moodReason(answers: MoodAnswers): Reason<MoodReasonCode> | undefined {
  if (answers.thoughtsOfHarm === true) {
    return { code: 'thoughts-of-harm', tier: 'A', values: {}, source: 'WHO mhGAP; WHO postnatal care, 2022' };
  }
  const score = points(answers.littleInterest) + points(answers.feelingDown);
  if (score >= 3) return { code: 'low-mood', tier: 'B', values: { score }, source };
  return score === 2 ? { code: 'some-low-mood', tier: 'C', values: { score }, source } : undefined;
}

/**
 * Whether the mood questions are due: at 2, 6 and 12 weeks, once each, up to two weeks late; at once when her words suggest it.
 * @param askedAtDays baby's ages in days when they were answered before
 */
export function isMoodTalkDue(
  ageDays: number,
  askedAtDays: readonly number[],
  wordsSuggestIt = false,
): boolean {
  if (wordsSuggestIt) return true;
  const due = moodAsksAtDays.findLast((day) => ageDays >= day);
  return due !== undefined && ageDays <= due + askWithinDays && !askedAtDays.some((day) => day >= due);
}

function points(answer: number | null | undefined): number {
  if (answer === null || answer === undefined) return 0;
  if (![0, 1, 2, 3].includes(answer)) throw new RangeError('a mood answer must be 0, 1, 2 or 3');
  return answer;
}
