import type { FeedingAnswers } from './feeding-answers.ts';
import type { Reason } from './reason.ts';

const transferSource = 'WHO breastfeed observation aid';
const painSource =
  'ABM Protocol 26, 2016 (pain over 2 weeks is persistent); day 10 is common practice, no source';

/**
 * Milk does not seem to pass: breast never softer, no swallows, feeds without end or very short, sleepy at the breast.
 * C, B under 14 days. An unsure answer is unknown.
 * Source: WHO breastfeed observation aid.
 */
export function transferReason(answers: FeedingAnswers): Reason<'transfer-poor'> | undefined {
  const poor =
    answers.softAfterFeed === 'no' ||
    answers.swallowing === 'no' ||
    answers.endlessOrVeryShortFeeds === true ||
    answers.sleepyAtBreast === true;
  if (!poor) return undefined;
  return {
    code: 'transfer-poor',
    tier: answers.ageDays < 14 ? 'B' : 'C',
    values: {},
    source: transferSource,
  };
}

/**
 * Pain while feeding: mild after day 10 C; severe, cracked or bleeding at any time C, B when she is about to stop or cuts
 * feeds. Source: ABM Protocol 26, 2016; day 10: common practice.
 */
export function painReason(answers: FeedingAnswers): Reason<'pain-severe' | 'pain-lasting'> | undefined {
  if (answers.pain === 'severe' || answers.crackedNipple === true) {
    return {
      code: 'pain-severe',
      tier: answers.aboutToStop === true ? 'B' : 'C',
      values: {},
      source: painSource,
    };
  }
  if (answers.pain !== 'mild' || answers.ageDays <= 10) return undefined;
  return { code: 'pain-lasting', tier: 'C', values: { ageDays: answers.ageDays }, source: painSource };
}
