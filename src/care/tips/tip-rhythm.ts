/** Tips are told up to this age of the youngest baby, in days: 24 months. */
export const lastTipDay = 730;

/** Days from one tip to the next, by the youngest baby's age in days: a week in the first year, then two. Source: common practice, no source. */
export function daysToNextTip(ageDays: number): number {
  return ageDays < 364 ? 7 : 14;
}
