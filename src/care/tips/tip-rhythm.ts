/** Tips are told up to this age of the youngest baby, in days: 24 months. */
export const lastTipDay = 730;

/**
 * Days from one tip to the next, by the youngest baby's age in days: 2 in the first two weeks and 3 in the next two, in which most must
 * be told in time; a week to the end of the first year; then two weeks. Source: common practice, no source.
 */
export function daysToNextTip(ageDays: number): number {
  if (ageDays < 14) return 2;
  if (ageDays < 28) return 3;
  return ageDays < 364 ? 7 : 14;
}

/** A concern told in so many days is recent: a tip may answer it. Source: common practice, no source. */
export const recentConcernDays = 14;
