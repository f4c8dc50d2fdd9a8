/** Her clock: local days and minutes in one IANA time zone. Made once per zone; the formatter is costly to make. */
export interface Calendar {
  readonly timeZone: string;
  /** Local calendar day, YYYY-MM-DD. */
  day(at: number): string;
  /** Minutes after local midnight, 0 to 1439. */
  minuteOfDay(at: number): number;
  /**
   * The instant of a local day and minute, epoch milliseconds. A local time skipped by a clock change gives the instant
   * just after it; one that happens twice gives the first.
   */
  instant(day: string, minuteOfDay: number): number;
  /** The day so many days later. */
  plusDays(day: string, days: number): string;
}

const minuteMs = 60_000;
const dayMs = 86_400_000;

/** @throws RangeError for a time zone that the platform does not know */
export function openCalendar(timeZone: string): Calendar {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
  });
  // Zones change their offset on the quarter hour at most, so one look-up serves a quarter hour.
  const offsets = new Map<number, number>();
  const offsetAt = (at: number): number => {
    const quarter = Math.floor(at / (15 * minuteMs));
    const known = offsets.get(quarter);
    if (known !== undefined) return known;
    const start = quarter * 15 * minuteMs;
    const parts = Object.fromEntries(format.formatToParts(start).map((p) => [p.type, Number(p.value)]));
    const local = Date.UTC(
      parts['year'] ?? 0,
      (parts['month'] ?? 1) - 1,
      parts['day'] ?? 1,
      parts['hour'] ?? 0,
      parts['minute'] ?? 0,
      parts['second'] ?? 0,
    );
    if (offsets.size > 4_000) offsets.clear();
    offsets.set(quarter, local - start);
    return local - start;
  };
  // A turn asks for a few days many times, and a Date made into text costs more than all the rest of the question.
  const names = new Map<number, string>();
  const named = (dayNumber: number): string => {
    const known = names.get(dayNumber);
    if (known !== undefined) return known;
    const name = new Date(dayNumber * dayMs).toISOString().slice(0, 10);
    if (names.size > 4_000) names.clear();
    names.set(dayNumber, name);
    return name;
  };
  const numbers = new Map<string, number>();
  /** Days since 1970 of a day, YYYY-MM-DD. */
  const numbered = (on: string): number => {
    const known = numbers.get(on);
    if (known !== undefined) return known;
    const number = Math.floor(Date.parse(`${on}T00:00:00Z`) / dayMs);
    if (numbers.size > 4_000) numbers.clear();
    numbers.set(on, number);
    return number;
  };
  const day = (at: number): string => named(Math.floor((at + offsetAt(at)) / dayMs));
  const minuteOfDay = (at: number): number =>
    Math.floor(((((at + offsetAt(at)) % dayMs) + dayMs) % dayMs) / minuteMs);
  return {
    timeZone,
    day,
    minuteOfDay,
    instant: (on, minute) => {
      const local = numbered(on) * dayMs + minute * minuteMs;
      const [before, after] = [offsetAt(local - dayMs), offsetAt(local + dayMs)];
      // On nearly every day the offset is the same all around.
      if (before === after && offsetAt(local - before) === before) return local - before;
      const candidates = [local - before, local - after].sort((a, b) => a - b);
      const exact = candidates.find((at) => at + offsetAt(at) === local);
      return exact ?? Math.max(...candidates);
    },
    plusDays: (on, days) => named(Math.floor(numbered(on) + days)),
  };
}

/** Whether the platform knows a time zone of that name. '' is none. */
export function isTimeZone(name: string): boolean {
  try {
    return name !== '' && new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone !== '';
  } catch {
    return false;
  }
}

/** Calendars by time zone, each made when it is first asked for. @param usual the one that most ask for */
export function openCalendars(usual: Calendar): (timeZone: string) => Calendar {
  const known = new Map([[usual.timeZone, usual]]);
  return (timeZone) => {
    const calendar = known.get(timeZone) ?? openCalendar(timeZone);
    known.set(timeZone, calendar);
    return calendar;
  };
}
