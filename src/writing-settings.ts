import { isTimeZone } from './language/calendar.ts';

/** Longest run of days in one entry: more than any festival, so a slip in a year is noticed. */
const longestFestivalDays = 31;

/** Days as a list or as runs, each YYYY-MM-DD; '' is none. What is wrong is added to `problems`, a sentence each. */
export function readFestivalDays(text: string, problems: string[]): ReadonlySet<string> {
  const days = text.split(',').flatMap((entry) => {
    const [first = '', last = first, ...more] = entry.trim().split('..');
    if (first === '' && text.trim() === '') return [];
    const from = Date.parse(`${first}T00:00:00Z`);
    const run = (Date.parse(`${last}T00:00:00Z`) - from) / 86_400_000 + 1;
    const isGood = more.length === 0 && isDay(first) && isDay(last) && run >= 1 && run <= longestFestivalDays;
    if (!isGood) {
      problems.push(
        `FESTIVAL_DAYS has "${entry.trim()}", which is not a day as 2026-11-08 or up to ${longestFestivalDays} days as 2026-11-07..2026-11-11.`,
      );
      return [];
    }
    return Array.from({ length: run }, (_, i) => new Date(from + i * 86_400_000).toISOString().slice(0, 10));
  });
  return new Set(days);
}

function isDay(text: string): boolean {
  const at = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(text);
}

/** Time zones by the beginning of a number; '' is none. What is wrong is added to `problems`, a sentence each. */
export function readZones(text: string, problems: string[]): ReadonlyMap<string, string> {
  const zones = new Map<string, string>();
  if (text.trim() === '') return zones;
  for (const entry of text.split(',')) {
    const [prefix = '', zone = ''] = entry.trim().split(':');
    const isGood = /^\+[1-9]\d{0,13}$/.test(prefix) && isTimeZone(zone) && !zones.has(prefix);
    if (isGood) zones.set(prefix, zone);
    else
      problems.push(
        `TIME_ZONES has "${entry.trim()}", which is not the beginning of a number and an IANA time zone, once each, as +44:Europe/London.`,
      );
  }
  return zones;
}
