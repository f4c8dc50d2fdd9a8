import { describe, expect, it } from 'vitest';
import { nextClimbAt } from '../../src/counsel/climbing.ts';
import { rotaOf } from '../../src/counsel/rota.ts';
import type { LineId } from '../../src/dialog/line.ts';
import { turn } from '../../src/dialog/turn.ts';
import type { World } from '../../src/dialog/world.ts';
import { zoneOf } from '../../src/dialog/zone.ts';
import { openCalendar, openCalendars } from '../../src/language/calendar.ts';
import { calendar, content, enrolled, hour, monday, programme } from './conversation.ts';

const of = {
  timeZone: 'Asia/Kolkata',
  zones: new Map([
    ['+44', 'Europe/London'],
    ['+4477009007', 'America/New_York'],
  ]),
};

describe('the time zone of a phone', () => {
  it.each([
    ['+919800000000', undefined, 'Asia/Kolkata'],
    ['+447700900123', undefined, 'Europe/London'],
    ['+447700900712', undefined, 'America/New_York'],
    ['+447700900712', 'Africa/Nairobi', 'Africa/Nairobi'],
  ])('of %s set to %s is %s', (phone, zone, expected) => {
    expect(zoneOf(zone === undefined ? {} : { zone }, phone, of)).toBe(expected);
    expect(zoneOf(undefined, phone, { timeZone: 'Asia/Kolkata' })).toBe('Asia/Kolkata');
  });

  it('has one calendar, however often it is asked for', () => {
    const calendarOf = openCalendars(calendar);
    expect(calendarOf('Asia/Kolkata')).toBe(calendar);
    expect(calendarOf('Europe/London')).toBe(calendarOf('Europe/London'));
  });

  it('moves all that is planned for it to the same hours of its own clock', () => {
    const talk = enrolled({ home: '1 1 16' });
    const newYork = openCalendar('America/New_York');
    const world: World = {
      now: monday + hour,
      salt: 0,
      content,
      programme,
      calendar: newYork,
      dutyCalendar: calendar,
    };
    const wish = { kind: 'zone', zone: 'America/New_York' } as const;
    const event = { kind: 'rhythm', id: 'desk 1', by: 'anita', mother: 0, wish } as const;
    const { state } = turn('line' as LineId, '', talk.state, event, world);
    expect(state.zone).toBe('America/New_York');
    for (const [kind, minuteOfDay] of [
      ['check-in', 960],
      ['tip', 660],
    ] as const) {
      const due = state.dues.find((d) => d.kind === kind);
      expect(newYork.minuteOfDay(due?.at ?? 0), kind).toBe(minuteOfDay);
    }
  });
});

describe('counsellors', () => {
  it('are told of her alerts by the programme`s clock, not by hers', () => {
    const talk = enrolled();
    talk.text('PERSON');
    const alert = talk.alert();
    expect(alert.tier).toBe('B');
    // Ten at night in India is half past eleven in the morning in New York.
    const now = calendar.instant('2026-03-02', 22 * 60);
    const world: World = {
      now,
      salt: 0,
      content,
      programme,
      calendar: openCalendar('America/New_York'),
      dutyCalendar: calendar,
    };
    expect(calendar.minuteOfDay(nextClimbAt({ ...alert, raisedAt: now }, world) ?? 0)).toBe(9 * 60);
    expect(rotaOf(world).calendar).toBe(calendar);
  });
});
