const minuteMs = 60_000;
const dayMinutes = 24 * 60;

/**
 * Milliseconds from `now` to the next time that a clock in `timeZone` shows 09:00; more than 0, at most about 25 hours
 * (on a day when the clocks go back).
 * @param now epoch milliseconds
 * @throws RangeError when there is no such time zone
 */
export function msToNextMorning(now: number, timeZone: string): number {
  const minutes = (at: number) => minuteOfDay(at, timeZone);
  const wholeMinute = now - (now % minuteMs);
  let wait = (morningMinute - minutes(wholeMinute) + dayMinutes) % dayMinutes || dayMinutes;
  // Where the clocks change in between, what was computed is off by that change.
  const off = morningMinute - minutes(wholeMinute + wait * minuteMs);
  if (Math.abs(off) < dayMinutes / 2) wait += off;
  return wholeMinute + wait * minuteMs - now;
}

const morningMinute = 9 * 60;

function minuteOfDay(at: number, timeZone: string): number {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    hour: 'numeric',
    minute: 'numeric',
    hourCycle: 'h23',
  });
  const part = (type: string) => Number(parts.formatToParts(at).find((each) => each.type === type)?.value);
  return part('hour') * 60 + part('minute');
}
