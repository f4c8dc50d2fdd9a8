/** Days of the proleptic Gregorian calendar, as YYYY-MM-DD, without a clock or a time zone. */

const dayMs = 86_400_000;

const iso = (ms: number): string => new Date(ms).toISOString().slice(0, 10);

/** The day, or undefined when there is no such day. Years 1900 to 2100 only. */
export function calendarDay(year: number, month: number, day: number): string | undefined {
  if (year < 1900 || year > 2100 || month < 1 || month > 12 || day < 1 || day > 31) return undefined;
  const ms = Date.UTC(year, month - 1, day);
  return new Date(ms).getUTCMonth() === month - 1 ? iso(ms) : undefined;
}

/** `days` later; negative is earlier. */
export const daysLater = (day: string, days: number): string =>
  iso(Date.parse(day) + Math.round(days) * dayMs);

/** The same day of the month `months` earlier, or the last day of that month. */
export function monthsEarlier(day: string, months: number): string {
  const [year = 1970, month = 1, date = 1] = day.split('-').map(Number);
  const index = year * 12 + month - 1 - months;
  const last = new Date(Date.UTC(Math.floor(index / 12), (index % 12) + 1, 0)).getUTCDate();
  return iso(Date.UTC(Math.floor(index / 12), index % 12, Math.min(date, last)));
}

/** 0 is Sunday. */
export const weekdayOf = (day: string): number => new Date(Date.parse(day)).getUTCDay();

/** Whole days from `from` to `to`. */
export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(to) - Date.parse(from)) / dayMs);
