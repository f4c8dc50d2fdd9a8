import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { worksIn } from '../../src/counsel/area.ts';
import { isCovered, onDuty, peopleOnDuty, type Rota, shiftEnd } from '../../src/counsel/rota.ts';
import { rotaGaps } from '../../src/counsel/rota-gaps.ts';
import { rotaWeek } from '../../src/counsel/rota-week.ts';
import type { RotaPlan, Shift } from '../../src/counsel/rota-plan.ts';
import type { Counsellor } from '../../src/dialog/world.ts';
import { openCalendar } from '../../src/language/calendar.ts';

const hour = 3_600_000;
const day = 24 * hour;
const person = (id: string, more: Partial<Counsellor> = {}): Counsellor => ({
  id,
  name: id,
  phone: '+447700900011',
  language: 'en',
  lead: false,
  ...more,
});
const anita = person('anita', { languages: ['en', 'hi'], area: 'north' });
const sunita = person('sunita', { language: 'mr', area: 'south' });
const priya = person('priya', { language: 'mr' });
const mary = person('mary', { lead: true });
const leela = person('leela', { lead: true, clinical: true });
const all = [anita, sunita, priya, mary, leela];
const every = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const shift = (who: string, from: number, to: number, days: Shift['days'] = every): Shift => ({
  who,
  days,
  fromMinuteOfDay: from * 60,
  toMinuteOfDay: to * 60,
});
const rotaWith = (plan: Partial<RotaPlan> | undefined, more: Partial<Rota> = {}): Rota => ({
  counsellors: all,
  plan: plan === undefined ? undefined : { week: [], swaps: [], holidays: [], climbMinutes: {}, ...plan },
  calendar: openCalendar('Asia/Kolkata'),
  away: new Map(),
  ...more,
});
/** Monday 2 March 2026 in India (UTC+5:30, no summer time), at that hour. Weekday: Zeller's rule, and any almanac. */
const india = (h: number, onDay = 2) => Date.UTC(2026, 2, onDay, 0, -330) + h * hour;
const ids = (rota: Rota, at: number) => peopleOnDuty(rota, at).map((c) => c.id);

describe('who is on duty', () => {
  const dayAndNight = rotaWith({ week: [shift('anita', 7, 19), shift('sunita', 19, 7)] });

  it.each([
    [6.99, 'sunita'],
    [7, 'anita'],
    [18.99, 'anita'],
    [19, 'sunita'],
    [23.99, 'sunita'],
    [24, 'sunita'],
  ])('at hour %d it is %s: a shift begins with its first minute and ends before its last', (h, who) => {
    expect(ids(dayAndNight, india(h))).toEqual([who]);
  });

  it('counts a night shift to the day on which it begins', () => {
    const mondayNight = rotaWith({ week: [shift('sunita', 19, 7, ['mon'])] });
    expect(ids(mondayNight, india(3))).toEqual([]);
    expect(ids(mondayNight, india(20))).toEqual(['sunita']);
    expect(ids(mondayNight, india(30))).toEqual(['sunita']);
    expect(ids(mondayNight, india(31))).toEqual([]);
  });

  it('gives a swapped shift to the other, for its whole night and for no other', () => {
    const rota = rotaWith({
      week: [shift('sunita', 19, 7)],
      swaps: [{ from: 'sunita', to: 'priya', day: '2026-03-02' }],
    });
    expect(ids(rota, india(20))).toEqual(['priya']);
    expect(ids(rota, india(30))).toEqual(['priya']);
    expect(ids(rota, india(44))).toEqual(['sunita']);
  });

  it('leaves out who is on holiday, also when she was swapped in', () => {
    const holidays = [{ who: 'priya', firstDay: '2026-03-02', lastDay: '2026-03-03' }];
    const week = [shift('priya', 7, 19)];
    expect(ids(rotaWith({ week, holidays }), india(8))).toEqual([]);
    expect(ids(rotaWith({ week, holidays }), india(8, 4))).toEqual(['priya']);
    const swapped = rotaWith({
      week: [shift('anita', 7, 19)],
      holidays,
      swaps: [{ from: 'anita', to: 'priya', day: '2026-03-02' }],
    });
    expect(ids(swapped, india(8))).toEqual([]);
  });

  it('leaves out who said that she is off, until the time that she was given', () => {
    const rota = rotaWith({ week: [shift('anita', 7, 19)] }, { away: new Map([['anita', india(10)]]) });
    expect(ids(rota, india(9))).toEqual([]);
    expect(ids(rota, india(10))).toEqual(['anita']);
  });

  it('tells when her shift ends', () => {
    expect(shiftEnd(dayAndNight, 'sunita', india(20))).toBe(india(31));
    expect(shiftEnd(dayAndNight, 'anita', india(20))).toBeUndefined();
  });

  // Europe/London, 2026: clocks go forward on 29 March at 01:00 UTC and back on 25 October at 01:00 UTC. Source: IANA tz database.
  it.each([
    ['in spring', Date.UTC(2026, 2, 28, 19), Date.UTC(2026, 2, 29, 6), 11],
    ['in autumn', Date.UTC(2026, 9, 24, 18), Date.UTC(2026, 9, 25, 7), 13],
  ])('keeps the night of a clock change whole %s', (_, from, to, hours) => {
    const rota = rotaWith({ week: [shift('sunita', 19, 7)] }, { calendar: openCalendar('Europe/London') });
    expect((to - from) / hour).toBe(hours);
    expect([from - 1, from, to - 1, to].map((at) => ids(rota, at).length)).toEqual([0, 1, 1, 0]);
  });
});

describe('who is told after so many climbs', () => {
  const both = rotaWith({ week: [shift('anita', 0, 24), shift('priya', 0, 24)] });
  const ladder = (rota: Rota, language?: string, area?: string) =>
    [0, 1, 2, 3, 4, 5].map((climbed) => onDuty(rota, india(8), climbed, language, area)?.id);

  it('is the first twice, the next one, then the lead and the clinical lead in turn', () => {
    expect(ladder(both)).toEqual(['anita', 'anita', 'priya', 'mary', 'leela', 'mary']);
  });

  it('is the lead at once when nobody is on duty', () => {
    expect(ladder(rotaWith({}))).toEqual(['mary', 'mary', 'leela', 'leela', 'mary', 'mary']);
    expect(isCovered(rotaWith({}), india(8))).toBe(false);
  });

  it('is the lead third where only one is on duty', () => {
    expect(ladder(rotaWith({ week: [shift('anita', 0, 24)] })).slice(0, 3)).toEqual([
      'anita',
      'anita',
      'mary',
    ]);
  });

  it('is first who speaks her language, and before that who works in her area', () => {
    const three = rotaWith({
      week: [shift('anita', 0, 24), shift('sunita', 0, 24), shift('priya', 0, 24)],
    });
    expect(ladder(three, 'hi')[0]).toBe('anita');
    expect(ladder(three, 'mr')[0]).toBe('sunita');
    expect(ladder(three, 'mr', 'north')[0]).toBe('priya');
    expect(ladder(three, 'mr', 'south')[0]).toBe('sunita');
    // Nobody speaks it: somebody is told all the same.
    expect(ladder(three, 'ta')[0]).toBe('anita');
  });

  it('is nobody who may not see the mother: the lead is told at once where none of her area is on duty', () => {
    const northOnly = rotaWith({ week: [shift('anita', 0, 24)] });
    expect(ladder(northOnly, 'en', 'north')).toEqual(['anita', 'anita', 'mary', 'mary', 'leela', 'mary']);
    expect(ladder(northOnly, 'en', ' NORTH')[0]).toBe('anita');
    expect(ladder(northOnly, 'en', 'south')).toEqual(['mary', 'mary', 'leela', 'leela', 'mary', 'mary']);
    expect(isCovered(northOnly, india(8), 'north')).toBe(true);
    expect(isCovered(northOnly, india(8), 'south')).toBe(false);
    expect(isCovered(northOnly, india(8))).toBe(true);
    expect(rotaGaps(northOnly, india(8), india(9), 'south')).toEqual([
      { fromAt: india(8), untilAt: india(9) },
    ]);
    const two = rotaWith(
      { week: [shift('priya', 0, 24)] },
      { counsellors: [person('priya', { area: ['a', 'b'] }), mary] },
    );
    expect(['a', 'b', 'c'].map((area) => onDuty(two, india(8), 0, 'en', area)?.id)).toEqual([
      'priya',
      'priya',
      'mary',
    ]);
  });

  it('without a plan is everybody always, in their order, as long as they are not off', () => {
    expect(ladder(rotaWith(undefined)).slice(0, 4)).toEqual(['anita', 'anita', 'sunita', 'mary']);
    const off = rotaWith(undefined, { away: new Map(all.map((c) => [c.id, india(48)] as const)) });
    expect(onDuty(off, india(8), 0)?.id).toBe('mary');
  });

  it('is somebody whenever there is a counsellor at all, and the lead in the end', () => {
    const anyShift = fc.record({
      who: fc.constantFrom('anita', 'sunita', 'priya'),
      days: fc.subarray([...every], { minLength: 1 }),
      fromMinuteOfDay: fc.integer({ min: 0, max: 1439 }),
      toMinuteOfDay: fc.integer({ min: 0, max: 1439 }),
    });
    fc.assert(
      fc.property(
        fc.array(anyShift, { maxLength: 6 }),
        fc.integer({ min: 0, max: 40 * 24 * 60 }),
        fc.nat(30),
        fc.constantFrom(undefined, 'north', 'south', 'west'),
        (week, minute, climbed, area) => {
          const rota = rotaWith({ week });
          const at = india(0) + minute * 60_000;
          const told = onDuty(rota, at, climbed, undefined, area);
          expect(told).toBeDefined();
          if (climbed >= 3) expect(told?.lead).toBe(true);
          if (told !== undefined) expect(worksIn(told, area)).toBe(true);
        },
      ),
    );
  });
});

describe('the coming week', () => {
  it('has each day’s shifts with swaps and holidays, and the hours in which somebody is missing', () => {
    const rota = rotaWith(
      {
        week: [shift('anita', 7, 19), shift('sunita', 19, 7)],
        swaps: [{ from: 'anita', to: 'priya', day: '2026-03-03' }],
        holidays: [{ who: 'sunita', firstDay: '2026-03-04', lastDay: '2026-03-04' }],
      },
      { counsellors: all.map((c) => ({ ...c, area: 'north' })) },
    );
    const week = rotaWeek(rota, india(8), 7);
    expect(week.map((d) => d.day)).toEqual([2, 3, 4, 5, 6, 7, 8].map((d) => `2026-03-0${d}`));
    expect(week[0]?.shifts.map((s) => [s.who, s.fromAt, s.toAt])).toEqual([
      ['anita', india(7), india(19)],
      ['sunita', india(19), india(31)],
    ]);
    expect(week[1]?.shifts[0]).toMatchObject({ who: 'priya', insteadOf: 'anita', away: false });
    expect(week[2]?.shifts[1]).toMatchObject({ who: 'sunita', away: true });
    // A night that nobody does: until midnight on the one day, from midnight on the next.
    expect(week.map((d) => d.gaps)).toEqual([
      [],
      [],
      [{ fromAt: india(19, 4), untilAt: india(24, 4) }],
      [{ fromAt: india(0, 5), untilAt: india(7, 5) }],
      [],
      [],
      [],
    ]);
  });

  it('tells hours in which an area has nobody, and not what is over', () => {
    const rota = rotaWith({ week: [shift('anita', 0, 24)] }, { counsellors: [anita, sunita, mary] });
    expect(rotaWeek(rota, india(8), 1)[0]?.gaps).toEqual([
      { fromAt: india(8), untilAt: india(24), area: 'south' },
    ]);
  });
});

describe('hours that nobody covers', () => {
  it('are none where day and night meet', () => {
    const rota = rotaWith({ week: [shift('anita', 7, 19), shift('sunita', 19, 7)] });
    expect(rotaGaps(rota, india(8.5), india(8.5) + 31 * day)).toEqual([]);
  });

  it('are found to the minute, also when a holiday or a weekend makes them', () => {
    const rota = rotaWith({
      week: [shift('anita', 7, 19, ['mon', 'tue', 'wed', 'thu', 'fri', 'sat']), shift('sunita', 19, 7)],
      holidays: [{ who: 'sunita', firstDay: '2026-03-04', lastDay: '2026-03-04' }],
    });
    expect(rotaGaps(rota, india(8), india(8) + 7 * day)).toEqual([
      { fromAt: india(19, 4), untilAt: india(7, 5) },
      { fromAt: india(7, 8), untilAt: india(19, 8) },
    ]);
  });

  it('agree with looking at every minute', () => {
    const rota = rotaWith({
      week: [
        shift('anita', 6.5, 13.25, ['mon', 'wed']),
        shift('sunita', 12, 3),
        shift('priya', 3.75, 5, ['tue']),
      ],
      swaps: [{ from: 'sunita', to: 'priya', day: '2026-03-03' }],
      holidays: [{ who: 'priya', firstDay: '2026-03-03', lastDay: '2026-03-03' }],
    });
    const gaps = rotaGaps(rota, india(0), india(0) + 4 * day);
    for (let at = india(0); at < india(0) + 4 * day; at += 60_000) {
      expect(gaps.some((g) => g.fromAt <= at && at < g.untilAt)).toBe(!isCovered(rota, at));
    }
  });
});
