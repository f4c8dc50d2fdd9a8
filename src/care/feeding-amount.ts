import { daysInMonth, dayOfLife } from './age.ts';
import type { FeedingAnswers } from './feeding-answers.ts';
import type { Reason } from './reason.ts';
import type { Tier } from './signs.ts';
import { atLeastTold, atMostTold } from './told.ts';

const feedsSource =
  'WHO/UNICEF breastfeeding counselling course (8-12 feeds in 24 h); the cuts are common practice, no source';
const firstDaySource = 'ABM; WHO postnatal care recommendations, 2022';
const nightSource = 'WHO/UNICEF breastfeeding counselling course';
const common = 'common practice, no source';

/** First day the count of the first 24 hours no longer applies, and where 8-12 gives way to 7 or more: 6 weeks. */
const sixWeeksDays = 42;
/** 6 months in days, where the counts of feeds and gaps end. */
export const sixMonthsDays = 6 * daysInMonth;
/** 4 weeks, where the longest gap may grow. */
export const fourWeeksDays = 28;
/** 4 months in days, until when a night feed is expected. */
const fourMonthsDays = 4 * daysInMonth;

/**
 * Too few feeds in 24 hours for the age.
 * First 24 h: 3 or fewer by 24 h is B; while the first day is still running (hours known, from 6 h) the count is taken at the
 * pace so far (under 4 a day: B), and before 6 h nothing is said. To 6 weeks: 7 C, 6 C (B under 14 days), 5 or fewer B.
 * 6 weeks to 6 months: 5-6 C, 4 or fewer B. Later: no count is asked for.
 * Source: WHO/UNICEF counselling course (8-12); first day: ABM, WHO 2022; cuts and the pace of the first day: common practice.
 */
export function feedsReason(answers: FeedingAnswers): Reason<'feeds-few'> | undefined {
  const feeds = atLeastTold(answers.feeds24h);
  if (feeds === undefined) return undefined;
  const few = (tier: Tier, expected: number, source = feedsSource): Reason<'feeds-few'> => ({
    code: 'feeds-few',
    tier,
    values: { feeds, expected },
    source,
  });
  const { ageDays, ageHours } = answers;
  if (ageDays < 1) {
    const hours = ageHours ?? 24;
    if (hours < 6) return undefined;
    return (feeds * 24) / Math.min(hours, 24) < 4 ? few('B', 4, firstDaySource) : undefined;
  }
  if (ageDays < sixWeeksDays) {
    if (feeds >= 8) return undefined;
    if (feeds >= 7) return few('C', 8);
    return few(feeds > 5 && ageDays >= 14 ? 'C' : 'B', 8);
  }
  if (ageDays >= sixMonthsDays || feeds >= 7) return undefined;
  return few(feeds > 4 ? 'C' : 'B', 7);
}

/**
 * Too long between two feeds: under 4 weeks over 4 h C, over 6 h B; later, to 6 months, over 8 h C.
 * Source: common practice, no source.
 */
export function gapReason(answers: FeedingAnswers): Reason<'gap-long'> | undefined {
  const hours = atMostTold(answers.longestGapHours);
  if (hours === undefined || answers.ageDays >= sixMonthsDays) return undefined;
  const long = (tier: Tier, most: number): Reason<'gap-long'> => ({
    code: 'gap-long',
    tier,
    values: { hours, most },
    source: common,
  });
  if (answers.ageDays < fourWeeksDays) {
    if (hours > 6) return long('B', 4);
    return hours > 4 ? long('C', 4) : undefined;
  }
  return hours > 8 ? long('C', 8) : undefined;
}

/** No feed at night under 4 months: C, from the second day of life. Source: WHO/UNICEF counselling course. */
export function nightReason(answers: FeedingAnswers): Reason<'night-feeds-none'> | undefined {
  const nights = atLeastTold(answers.nightFeeds);
  if (nights === undefined || nights >= 1) return undefined;
  if (dayOfLife(answers.ageDays) < 2 || answers.ageDays >= fourMonthsDays) return undefined;
  return { code: 'night-feeds-none', tier: 'C', values: {}, source: nightSource };
}
