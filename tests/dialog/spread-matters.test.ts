import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Matter,
  matterGapMs,
  spreadMatters,
  type WritingRules,
} from '../../src/dialog/spread-matters.ts';
import { openCalendar } from '../../src/language/calendar.ts';

const minute = 60_000;
const hour = 60 * minute;
const day = 24 * hour;

/** Clocks that never change, change by an hour in spring and autumn, by half an hour, and around Ramadan. */
const zones = [
  'Asia/Kolkata',
  'Africa/Lagos',
  'Europe/London',
  'America/New_York',
  'Australia/Lord_Howe',
  'Africa/Casablanca',
] as const;
const calendars = new Map(zones.map((zone) => [zone, openCalendar(zone)]));

/** Her clock as the platform's own IANA data has it, read without our calendar. */
const faces = new Map(
  zones.map((zone) => [
    zone,
    new Intl.DateTimeFormat('en-CA', {
      timeZone: zone,
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
      hourCycle: 'h23',
    }),
  ]),
);
function clockOf(
  zone: (typeof zones)[number],
  at: number,
): { readonly day: string; readonly minuteOfDay: number } {
  const parts = Object.fromEntries((faces.get(zone)?.formatToParts(at) ?? []).map((p) => [p.type, p.value]));
  return {
    day: `${parts['year']}-${parts['month']}-${parts['day']}`,
    minuteOfDay: Number(parts['hour']) * 60 + Number(parts['minute']),
  };
}

/** Around the clock changes of these years, and between them. */
const instants = fc.oneof(
  fc.integer({ min: Date.UTC(2024, 0, 1), max: Date.UTC(2028, 11, 31) }),
  fc
    .tuple(
      fc.constantFrom(
        Date.UTC(2026, 2, 29, 1),
        Date.UTC(2026, 9, 25, 1),
        Date.UTC(2026, 2, 8, 7),
        Date.UTC(2026, 10, 1, 6),
        Date.UTC(2026, 3, 4, 15),
        Date.UTC(2026, 2, 22, 2),
      ),
      fc.integer({ min: -2 * day, max: 2 * day }),
    )
    .map(([at, by]) => at + by),
);

const cases = fc.record({
  zone: fc.constantFrom(...zones),
  now: instants,
  from: fc.integer({ min: 0, max: 1380 }),
  length: fc.integer({ min: 60, max: 1440 }),
  mostADay: fc.integer({ min: 1, max: 5 }),
  festivals: fc.array(fc.integer({ min: 0, max: 12 }), { maxLength: 4 }),
  wanted: fc.array(
    fc.record({
      by: fc.integer({ min: -3 * day, max: 8 * day }),
      waits: fc.option(fc.integer({ min: 0, max: 3 * day })),
      rank: fc.integer({ min: 0, max: 2 }),
      patienceDays: fc.integer({ min: 0, max: 3 }),
      holdsMs: fc.constantFrom(0, 2 * hour),
    }),
    { minLength: 1, maxLength: 12 },
  ),
});

type Case = typeof cases extends fc.Arbitrary<infer T> ? T : never;

function rulesOf({ zone, now, from, length, mostADay, festivals }: Case): WritingRules {
  const calendar = calendars.get(zone) ?? openCalendar(zone);
  return {
    calendar,
    fromMinuteOfDay: from,
    untilMinuteOfDay: Math.min(1440, from + length),
    mostADay,
    festivalDays: new Set(festivals.map((n) => calendar.plusDays(calendar.day(now), n))),
  };
}

function mattersOf({ now, wanted }: Case): readonly Matter[] {
  return wanted.map(({ by, waits, rank, patienceDays, holdsMs }) => ({
    holdsMs,
    patienceDays,
    wantedAt: now + by,
    notBefore: waits === null ? 0 : now + waits,
    rank,
  }));
}

/** What may never be, of texts to one phone: told in words for whoever reads the failure. */
function wrongs(times: readonly number[], { zone, ...rest }: Case): readonly string[] {
  const rules = rulesOf({ zone, ...rest });
  const perDay = new Map<string, number>();
  const found: string[] = [];
  for (const at of [...times].sort((a, b) => a - b)) {
    const clock = clockOf(zone, at);
    const words = `${new Date(at).toISOString()} (${clock.day} ${clock.minuteOfDay} in ${zone})`;
    if (clock.minuteOfDay < rules.fromMinuteOfDay || clock.minuteOfDay >= rules.untilMinuteOfDay)
      found.push(`${words}: outside the hours`);
    if (rules.festivalDays.has(clock.day)) found.push(`${words}: on a festival`);
    perDay.set(clock.day, (perDay.get(clock.day) ?? 0) + 1);
    if ((perDay.get(clock.day) ?? 0) > rules.mostADay) found.push(`${words}: too many that day`);
  }
  const sorted = [...times].sort((a, b) => a - b);
  for (const [i, at] of sorted.entries())
    if (i > 0 && at - (sorted[i - 1] ?? 0) < matterGapMs)
      found.push(`${new Date(at).toISOString()}: within an hour`);
  return found;
}

describe('matters of one phone', () => {
  it('are never planned outside the hours, on a festival, within an hour of one another or above the number of a day', () => {
    fc.assert(
      fc.property(cases, (one) => {
        const matters = mattersOf(one);
        const times = spreadMatters(matters, [], one.now, rulesOf(one));
        expect(wrongs(times, one)).toEqual([]);
        for (const [i, at] of times.entries()) {
          expect(at).toBeGreaterThanOrEqual(one.now);
          expect(at).toBeGreaterThanOrEqual(matters[i]?.notBefore ?? 0);
        }
      }),
      { numRuns: 400 },
    );
  });

  it('all go out in the end, each once, whenever they are planned anew on the way', () => {
    fc.assert(
      fc.property(cases, fc.array(fc.integer({ min: 1, max: 20 * 60 }), { maxLength: 30 }), (one, looks) => {
        const rules = rulesOf(one);
        const written: number[] = [];
        let waiting = [...mattersOf(one)];
        let { now } = one;
        for (let steps = 0; waiting.length > 0; steps++) {
          expect(steps, 'something never goes out').toBeLessThan(200);
          const times = spreadMatters(
            waiting,
            written.filter((at) => at > now - 2 * day),
            now,
            rules,
          );
          const next = Math.min(...times);
          // A turn that has nothing to do with them comes in between, and plans them anew.
          const look = looks.pop();
          if (look !== undefined && now + look * minute < next) {
            now += look * minute;
            continue;
          }
          now = next;
          const first = times.indexOf(next);
          written.push(next);
          waiting = waiting.filter((_, i) => i !== first);
        }
        expect(written).toHaveLength(one.wanted.length);
        expect(wrongs(written, one)).toEqual([]);
        // Twelve at one a day, three days late, and four festivals on the way; twelve hours more for those that wait.
        expect(Math.max(...written)).toBeLessThan(one.now + (8 + 12 + 5 + 3 + 3) * day);
      }),
      { numRuns: 200 },
    );
  });

  it('are where they were when nothing has changed', () => {
    fc.assert(
      fc.property(cases, fc.double({ min: 0, max: 1, noNaN: true }), (one, part) => {
        const rules = rulesOf(one);
        const matters = mattersOf(one);
        const times = spreadMatters(matters, [], one.now, rules);
        const next = Math.min(...times);
        const later = one.now + Math.floor((next - one.now) * part);
        expect(Math.min(...spreadMatters(matters, [], later, rules))).toBe(next);
      }),
      { numRuns: 200 },
    );
  });
});

describe('her hour', () => {
  const rulesIn = (zone: (typeof zones)[number]): WritingRules => ({
    calendar: calendars.get(zone) ?? openCalendar(zone),
    fromMinuteOfDay: 480,
    untilMinuteOfDay: 1200,
    mostADay: 3,
    festivalDays: new Set(),
  });

  /** Days on which the clocks of the zone change, and the day after, by the published rules; from memory, and proved by Intl below. */
  it.each([
    ['Europe/London', '2026-03-29', 480, '2026-03-29T07:00:00.000Z'],
    ['Europe/London', '2026-03-28', 480, '2026-03-28T08:00:00.000Z'],
    ['Europe/London', '2026-10-25', 480, '2026-10-25T08:00:00.000Z'],
    ['Europe/London', '2026-10-24', 480, '2026-10-24T07:00:00.000Z'],
    ['America/New_York', '2026-03-08', 600, '2026-03-08T14:00:00.000Z'],
    ['America/New_York', '2026-03-07', 600, '2026-03-07T15:00:00.000Z'],
    ['America/New_York', '2026-11-01', 600, '2026-11-01T15:00:00.000Z'],
    ['Asia/Kolkata', '2026-03-29', 600, '2026-03-29T04:30:00.000Z'],
    ['Africa/Lagos', '2026-03-29', 600, '2026-03-29T09:00:00.000Z'],
  ] as const)('in %s on %s is the same on her clock, whatever was done to it', (zone, on, at, expected) => {
    const rules = rulesIn(zone);
    const wantedAt = rules.calendar.instant(on, at);
    const [time = 0] = spreadMatters(
      [{ wantedAt, notBefore: 0, rank: 0, patienceDays: 0, holdsMs: 0 }],
      [],
      wantedAt - 3 * day,
      rules,
    );
    expect(new Date(time).toISOString()).toBe(expected);
    expect(clockOf(zone, time)).toEqual({ day: on, minuteOfDay: at });
  });

  it('is kept on the day to which a matter moves', () => {
    const rules = { ...rulesIn('Europe/London'), festivalDays: new Set(['2026-03-28', '2026-03-29']) };
    const wantedAt = rules.calendar.instant('2026-03-28', 540);
    const [time = 0] = spreadMatters(
      [{ wantedAt, notBefore: 0, rank: 0, patienceDays: 0, holdsMs: 0 }],
      [],
      wantedAt - day,
      rules,
    );
    expect(clockOf('Europe/London', time)).toEqual({ day: '2026-03-30', minuteOfDay: 540 });
  });

  it('of four mothers at ten is ten, eleven and noon, and the fourth is first the next day', () => {
    const rules = rulesIn('Asia/Kolkata');
    const wantedAt = rules.calendar.instant('2026-03-02', 600);
    const four = Array.from({ length: 4 }, () => ({
      wantedAt,
      notBefore: 0,
      rank: 0,
      patienceDays: 0,
      holdsMs: 0,
    }));
    const times = spreadMatters(four, [], wantedAt, rules);
    expect(times).toEqual([wantedAt, wantedAt + hour, wantedAt + 2 * hour, wantedAt + day]);
  });

  it('is not taken by a question left over from the evening before: that one comes earlier', () => {
    const rules = rulesIn('Asia/Kolkata');
    const left = {
      wantedAt: rules.calendar.instant('2026-03-01', 1152),
      notBefore: 0,
      rank: 1,
      patienceDays: 3,
      holdsMs: 2 * hour,
    };
    const hers = {
      wantedAt: rules.calendar.instant('2026-03-02', 1140),
      notBefore: 0,
      rank: 0,
      patienceDays: 0,
      holdsMs: 2 * hour,
    };
    const written = [rules.calendar.instant('2026-03-01', 1140)];
    const times = spreadMatters([left, hers], written, rules.calendar.instant('2026-03-01', 1150), rules);
    expect(times.map((time) => clockOf('Asia/Kolkata', time))).toEqual([
      { day: '2026-03-02', minuteOfDay: 1020 },
      { day: '2026-03-02', minuteOfDay: 1140 },
    ]);
  });

  it('of a check-in goes before a tip of the same day, and a tip that waited before both', () => {
    const rules = { ...rulesIn('Asia/Kolkata'), mostADay: 1 };
    const at = (on: string, of: number) => rules.calendar.instant(on, of);
    const times = spreadMatters(
      [
        { wantedAt: at('2026-03-02', 540), notBefore: 0, rank: 2, patienceDays: 1, holdsMs: 0 },
        { wantedAt: at('2026-03-02', 600), notBefore: 0, rank: 0, patienceDays: 0, holdsMs: 0 },
        { wantedAt: at('2026-02-28', 900), notBefore: 0, rank: 2, patienceDays: 1, holdsMs: 0 },
      ],
      [],
      at('2026-03-02', 480),
      rules,
    );
    expect(times.map((time) => clockOf('Asia/Kolkata', time))).toEqual([
      { day: '2026-03-04', minuteOfDay: 540 },
      { day: '2026-03-03', minuteOfDay: 600 },
      { day: '2026-03-02', minuteOfDay: 900 },
    ]);
  });
});
