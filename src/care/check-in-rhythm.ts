/**
 * Days from one check-in to the next, by the baby's age in days: daily to day 14, every other day to day 28, twice a week to
 * 12 weeks, weekly to 6 months, every two weeks after; daily while a concern is open.
 * Source: common practice, no source; at least three contacts after the first 24 h: WHO recommendations on maternal and
 * newborn care for a positive postnatal experience, 2022 (from memory).
 */
export function daysToNextCheckIn(ageDays: number, concernOpen: boolean): number {
  if (concernOpen || ageDays < 14) return 1;
  if (ageDays < 28) return 2;
  if (ageDays < 84) return ageDays % 7 < 4 ? 3 : 4;
  if (ageDays < 183) return 7;
  return 14;
}

/** After a concern was closed she is asked daily for so many days still. Source: common practice, no source. */
const daysAfterConcern = 3;

/** Whether a concern closed on `closedOn` still makes for daily check-ins on `today`; both YYYY-MM-DD on her clock. */
export function isConcernRecent(closedOn: string, today: string): boolean {
  return (Date.parse(today) - Date.parse(closedOn)) / 86_400_000 < daysAfterConcern;
}

/** Babies older than this leave the line, in days: 24 months of 30.4375 days. */
export const oldestAgeDays = 731;
