import { describe, expect, it } from 'vitest';
import { climbAfterFailure, climbsByCall, nextClimbAt, workingFrom } from '../../src/counsel/climbing.ts';
import type { Alert } from '../../src/dialog/line.ts';
import type { World } from '../../src/dialog/world.ts';
import { openCalendar } from '../../src/language/calendar.ts';
import { loadContent } from '../../src/programme/load-content.ts';

const minute = 60_000;
/** Monday 2 March 2026 in India, UTC+5:30. */
const india = (hour: number, minutes = 0) => Date.UTC(2026, 2, 2, hour - 5, minutes - 30);
const world = (now: number, rota?: World['programme']['rota']): World => ({
  now,
  salt: 0,
  content: loaded,
  calendar: openCalendar('Asia/Kolkata'),
  programme: {
    name: 'Eightfeeds',
    timeZone: 'Asia/Kolkata',
    emergencyNumber: '112',
    language: 'en',
    counsellors: [],
    quietUntilMinuteOfDay: 480,
    quietFromMinuteOfDay: 1200,
    carrierAnswersStop: false,
    ...(rota === undefined ? {} : { rota }),
  },
});
const loaded = loadContent();
const alert = (tier: Alert['tier'], raisedAt: number, more: Partial<Alert> = {}): Alert => ({
  id: 'a',
  code: '4821',
  tier,
  mother: 0,
  signs: [],
  reasons: [],
  words: '',
  confirmed: true,
  raisedAt,
  stage: 'raised',
  acknowledgedBy: null,
  outcome: null,
  steps: [],
  climbed: 0,
  ...more,
});

describe('an alert that nobody takes', () => {
  it.each([
    [0, 5],
    [1, 10],
    [2, 20],
    [3, 40],
    [4, 60],
    [5, 80],
    [9, 160],
  ])('of tier A that climbed %d times climbs %d minutes after raising, and never stops', (climbed, after) => {
    const at = india(3);
    expect(nextClimbAt(alert('A', at, { climbed }), world(at))).toBe(at + after * minute);
  });

  it('of tier A is told by call too from the next person on', () => {
    const byCall = [0, 1, 2, 3].map((climbed) => climbsByCall(alert('A', 0, { climbed })));
    expect(byCall).toEqual([false, false, true, true]);
    expect(climbsByCall(alert('B', 0, { climbed: 3 }))).toBe(false);
  });

  it.each([
    ['at noon', india(12), india(14)],
    ['in the evening, whose two hours end at night', india(20), india(31)],
    ['at night: two hours from the morning', india(23), india(33)],
    ['before dawn', india(3), india(9)],
  ])('of tier B climbs in working hours only: %s', (_, raised, climbs) => {
    expect(nextClimbAt(alert('B', raised), world(raised))).toBe(climbs);
  });

  it('of tier C waits on the list', () => {
    expect(nextClimbAt(alert('C', india(12)), world(india(12)))).toBeUndefined();
    expect(climbAfterFailure(alert('C', india(12)), world(india(12)))).toBeUndefined();
  });

  it('climbs by the minutes of the rota where it has its own', () => {
    const rota = { week: [], swaps: [], holidays: [], climbMinutes: { A: [2, 4, 8] } };
    const at = india(12);
    const times = [0, 1, 2, 3].map((climbed) => nextClimbAt(alert('A', at, { climbed }), world(at, rota)));
    expect(times).toEqual([2, 4, 8, 12].map((m) => at + m * minute));
    expect(nextClimbAt(alert('B', at), world(at, rota))).toBe(at + 120 * minute);
  });

  it('climbs from its hand-over, however long ago it was raised', () => {
    const at = india(12);
    expect(nextClimbAt(alert('A', india(9), { climbsFromAt: at }), world(at))).toBe(at + 5 * minute);
  });

  it('never climbs in the past, nor at once again and again', () => {
    const at = india(12);
    expect(nextClimbAt(alert('A', at), world(at + 600 * minute))).toBe(at + 601 * minute);
  });
});

describe('an alert whose message is lost', () => {
  it('climbs within a minute, and at the lead every few minutes', () => {
    const at = india(12);
    for (const climbed of [0, 1, 2]) {
      const climbs = climbAfterFailure(alert('A', at, { climbed }), world(at)) ?? Number.POSITIVE_INFINITY;
      expect(climbs - at).toBeLessThan(minute);
    }
    expect(climbAfterFailure(alert('A', at, { climbed: 3 }), world(at + 20 * minute))).toBe(at + 25 * minute);
  });

  it('of tier B waits for the morning all the same', () => {
    expect(climbAfterFailure(alert('B', india(22)), world(india(22)))).toBe(india(31));
  });
});

it('tells of tier B from 07:00 to 21:00', () => {
  expect(workingFrom(india(6, 59), world(0))).toBe(india(7));
  expect(workingFrom(india(7), world(0))).toBe(india(7));
  expect(workingFrom(india(20, 59), world(0))).toBe(india(20, 59));
  expect(workingFrom(india(21), world(0))).toBe(india(31));
});
