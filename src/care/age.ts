const dayMs = 86_400_000;

/** Mean length of a month in days, as the WHO growth tables count it. Source: WHO Child Growth Standards, 2006. */
export const daysInMonth = 30.4375;

/**
 * Whole days from the day of birth to `today`: 0 on the day of birth. Both are YYYY-MM-DD on one calendar.
 * @returns a negative number when `today` lies before the birth
 * @throws RangeError when either is not a real calendar day
 */
export function ageInDays(bornOn: string, today: string): number {
  return Math.round((calendarDay(today) - calendarDay(bornOn)) / dayMs);
}

/** The day of life, counted from 1: the day of birth is day 1. */
export function dayOfLife(ageDays: number): number {
  return ageDays + 1;
}

/**
 * Age in days counted from the day she was due, for babies born before 37 weeks; the age since birth for others or when
 * the weeks are not known. Negative before the due day.
 * Source: common practice (correct for weeks short of 40, to 24 months); a simplification.
 */
export function correctedAgeDays(ageDays: number, gestationWeeks: number | null | undefined): number {
  if (gestationWeeks === null || gestationWeeks === undefined || gestationWeeks >= 37) return ageDays;
  return ageDays - Math.round((40 - gestationWeeks) * 7);
}

function calendarDay(text: string): number {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  const at = parts === null ? Number.NaN : Date.UTC(Number(parts[1]), Number(parts[2]) - 1, Number(parts[3]));
  if (Number.isNaN(at) || new Date(at).toISOString().slice(0, 10) !== text) {
    throw new RangeError('a day must be a calendar date as YYYY-MM-DD');
  }
  return at;
}
