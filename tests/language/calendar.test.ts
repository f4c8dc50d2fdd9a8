import fc from 'fast-check';
import { expect, it } from 'vitest';
import { openCalendar } from '../../src/language/calendar.ts';

const zones = ['Asia/Kolkata', 'Asia/Kathmandu', 'Europe/London', 'America/St_Johns', 'Pacific/Apia', 'UTC'];
const years = { min: Date.UTC(2000, 0, 1), max: Date.UTC(2060, 0, 1) };

// Reference: Intl.DateTimeFormat of the platform, which has the zones of IANA.
it.each(zones)(
  'tells the day of an instant, and the day so many later, as the platform does: %s',
  (timeZone) => {
    const calendar = openCalendar(timeZone);
    const iso = new Intl.DateTimeFormat('en-CA', {
      timeZone,
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
    });
    fc.assert(
      fc.property(fc.integer(years), fc.integer({ min: -800, max: 800 }), (at, days) => {
        const day = calendar.day(at);
        expect(day).toBe(iso.format(at));
        const later = new Date(`${day}T12:00:00Z`);
        later.setUTCDate(later.getUTCDate() + days);
        expect(calendar.plusDays(day, days)).toBe(later.toISOString().slice(0, 10));
      }),
      { numRuns: 500 },
    );
  },
);

it('refuses what is no day', () => {
  expect(() => openCalendar('UTC').plusDays('2026-13-01', 1)).toThrow(RangeError);
});

it.each(zones)(
  'gives the first instant of a local time that there is; a skipped one is nowhere: %s',
  (timeZone) => {
    const calendar = openCalendar(timeZone);
    fc.assert(
      fc.property(fc.integer(years), fc.integer({ min: 0, max: 1439 }), (near, minute) => {
        const day = calendar.day(near);
        const at = calendar.instant(day, minute);
        const isThere = calendar.day(at) === day && calendar.minuteOfDay(at) === minute;
        if (isThere) {
          const hourBefore = at - 3_600_000;
          expect([calendar.day(hourBefore), calendar.minuteOfDay(hourBefore)]).not.toEqual([day, minute]);
        } else {
          // Skipped by a clock change (a day, where a zone crossed the date line): the time is there on no instant around.
          for (let off = -26 * 60; off <= 26 * 60; off += 15) {
            const other = at + off * 60_000;
            expect([calendar.day(other), calendar.minuteOfDay(other)]).not.toEqual([day, minute]);
          }
        }
      }),
      { numRuns: 300 },
    );
  },
);
