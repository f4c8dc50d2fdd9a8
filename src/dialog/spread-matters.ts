import type { Calendar } from '../language/calendar.ts';

/** Two routine texts to one phone lie at least so far apart. Common practice, no source. */
export const matterGapMs = 60 * 60_000;

/** Something to be written to a phone of our own accord, that can wait. */
export interface Matter {
  /** When it would be written if it stood alone, epoch milliseconds. Its time of day is kept when it moves to another day. */
  readonly wantedAt: number;
  /** Not before this, epoch milliseconds: she is in the midst of something else, or paused. */
  readonly notBefore: number;
  /** Of matters equally due the lower goes first. */
  readonly rank: number;
  /** So many days after it is wanted it goes before what is wanted then; until then it gives way. 0 or more. */
  readonly patienceDays: number;
  /** Nothing else is planned for so long after it, where that is more than the usual gap: she needs time to answer a question. */
  readonly holdsMs: number;
}

/** What stands already, and how long it holds. */
interface Taken {
  readonly at: number;
  readonly holdsMs: number;
}

/** When the programme may write to a phone, on that phone's own clock. */
export interface WritingRules {
  readonly calendar: Calendar;
  /** First minute of the day, 0 to 1380. */
  readonly fromMinuteOfDay: number;
  /** First minute at which no more is written, at least 60 after `fromMinuteOfDay`; at most 1440. */
  readonly untilMinuteOfDay: number;
  /** Routine texts a day and phone, 1 or more. */
  readonly mostADay: number;
  /** Days without routine, YYYY-MM-DD. */
  readonly festivalDays: ReadonlySet<string>;
}

/** More days than any list of festivals fills: beyond it the rules are wrong, and she is written to all the same. */
const mostDaysLooked = 400;

/**
 * When each matter is written: on no festival day, in the writing hours, an hour from every other, and not above the day's number;
 * at its own time of day, else as soon after it as there is room, else as late before it. Those due on the earliest day choose
 * first, so that what had to wait is never passed over for ever.
 * @param written when the last routine texts went out, epoch milliseconds; those of today count towards the day's number
 * @returns an instant for each matter, in the order given; never before `now`
 */
export function spreadMatters(
  matters: readonly Matter[],
  written: readonly number[],
  now: number,
  rules: WritingRules,
): readonly number[] {
  const { calendar } = rules;
  const taken: Taken[] = written.map((at) => ({ at, holdsMs: matterGapMs }));
  const times = matters.map(() => now);
  const order = matters
    .map((matter, index) => ({
      matter,
      index,
      day: calendar.plusDays(calendar.day(matter.wantedAt), matter.patienceDays),
    }))
    .sort(
      (a, b) =>
        (a.day < b.day ? -1 : a.day > b.day ? 1 : 0) ||
        a.matter.rank - b.matter.rank ||
        a.matter.wantedAt - b.matter.wantedAt ||
        a.index - b.index,
    );
  for (const { matter, index } of order) {
    const at = firstFree(matter, taken, now, rules);
    times[index] = at;
    taken.push({ at, holdsMs: Math.max(matter.holdsMs, matterGapMs) });
  }
  return times;
}

function firstFree(matter: Matter, taken: readonly Taken[], now: number, rules: WritingRules): number {
  const { calendar, fromMinuteOfDay, untilMinuteOfDay, mostADay, festivalDays } = rules;
  const earliest = Math.max(now, matter.notBefore);
  const minute = Math.min(
    Math.max(calendar.minuteOfDay(matter.wantedAt), fromMinuteOfDay),
    untilMinuteOfDay - 1,
  );
  let day = calendar.day(Math.max(earliest, matter.wantedAt));
  for (let looked = 0; looked < mostDaysLooked; looked++, day = calendar.plusDays(day, 1)) {
    if (festivalDays.has(day)) continue;
    const onDay = taken.filter(({ at }) => calendar.day(at) === day);
    if (onDay.length >= mostADay) continue;
    const hers = Math.max(earliest, calendar.instant(day, minute));
    for (const step of ['later', 'earlier'] as const) {
      const at = clear(hers, Math.max(matter.holdsMs, matterGapMs), taken, step);
      const local = calendar.minuteOfDay(at);
      const isInHours = local >= fromMinuteOfDay && local < untilMinuteOfDay;
      if (at >= earliest && calendar.day(at) === day && isInHours) return at;
    }
  }
  return Math.max(earliest, matter.wantedAt);
}

/** The instant, moved on, later or earlier, until what holds so long has its distance from everything taken. */
function clear(from: number, holdsMs: number, taken: readonly Taken[], step: 'later' | 'earlier'): number {
  for (let at = from; ; ) {
    const near = taken.filter((other) =>
      at < other.at ? other.at - at < holdsMs : at - other.at < other.holdsMs,
    );
    if (near.length === 0) return at;
    at =
      step === 'later'
        ? Math.max(...near.map((other) => other.at + other.holdsMs))
        : Math.min(...near.map((other) => other.at - holdsMs));
  }
}
