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

const monthDays = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/** Days and months are counted by hand: a check-in asks for a score of ages, and a Date made back into text costs tenfold. */
function calendarDay(text: string): number {
  const year = digits(text, 0, 4);
  const month = digits(text, 5, 7);
  const day = digits(text, 8, 10);
  const isWritten = text.length === 10 && text[4] === '-' && text[7] === '-';
  const isLeap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const last = month === 2 && isLeap ? 29 : (monthDays[month - 1] ?? 0);
  if (!isWritten || !(day >= 1 && day <= last)) {
    throw new RangeError('a day must be a calendar date as YYYY-MM-DD');
  }
  return daysSinceEpoch(year, month, day) * dayMs;
}

/** The number in ASCII digits from `from` up to `to`, or NaN. */
function digits(text: string, from: number, to: number): number {
  let value = 0;
  for (let at = from; at < to; at++) {
    const digit = text.charCodeAt(at) - 48;
    if (!(digit >= 0 && digit <= 9)) return Number.NaN;
    value = value * 10 + digit;
  }
  return value;
}

/** Days from 1 January 1970 to a day of the Gregorian calendar, the year begun in March so that the leap day is its last. */
function daysSinceEpoch(year: number, month: number, day: number): number {
  const inYear = month > 2 ? year : year - 1;
  const era = Math.floor(inYear / 400);
  const ofEra = inYear - era * 400;
  const ofYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + day - 1;
  return era * 146_097 + ofEra * 365 + Math.floor(ofEra / 4) - Math.floor(ofEra / 100) + ofYear - 719_468;
}
