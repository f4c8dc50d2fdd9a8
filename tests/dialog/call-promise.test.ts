import { describe, expect, it } from 'vitest';
import type { RotaPlan } from '../../src/counsel/rota-plan.ts';
import type { Programme } from '../../src/dialog/world.ts';
import {
  calendar,
  conversation,
  day,
  enrolled,
  hour,
  minute,
  monday,
  programme,
  said,
} from './conversation.ts';

// Instants are written as hours of Monday 2 March 2026 in India, where the duty clock is too; monday is 10:00.
const india = (hours: number) => monday + (hours - 10) * hour;
const emergency = '112';
const anita = { name: 'Anita', emergency };

const shifts = (fromHour: number, toHour: number, days: RotaPlan['week'][number]['days']): RotaPlan => ({
  week: [{ who: 'anita', days, fromMinuteOfDay: fromHour * 60, toMinuteOfDay: toHour * 60 }],
  swaps: [],
  holidays: [],
  climbMinutes: {},
});
const everyDay = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const withRota = (rota: RotaPlan): Programme => ({ ...programme, rota });

/** Asks for a person at an hour of that Monday. */
function askedAt(hours: number, of: Programme = programme) {
  const talk = conversation(enrolled({}, india(5)).state, india(hours), of);
  return { talk, reply: talk.text('PERSON') };
}

describe('she asks for a person', () => {
  it.each([
    ['in the morning', 10, 'person.will-call'],
    ['before the working hours begin: told at seven', 5.5, 'person.will-call'],
    ['with just an hour of work left', 20, 'person.will-call'],
    ['with less than an hour left', 20 + 1 / 60, 'person.will-call-tomorrow'],
    ['in the evening, when the counsellor is told only next morning', 21.5, 'person.will-call-tomorrow'],
    ['at two minutes to midnight', 23.97, 'person.will-call-tomorrow'],
    ['after midnight: that morning is today', 24.1, 'person.will-call'],
  ])('%s', (_, hours, key) => {
    const { talk, reply } = askedAt(hours);
    expect(reply).toBe(said(key, anita));
    const [told] = talk.last.outcome.commit.outbox.filter((m) => m.receiver === 'anita');
    const promised = talk.journal.find((j) => j.kind === 'call-promised')?.body;
    expect(promised).toMatchObject({ by: 'anita' });
    // A call today needs that the counsellor is told today; what the words say and when she is told is one computation.
    if (key === 'person.will-call') expect(calendar.day(told?.notBefore ?? 0)).toBe(calendar.day(talk.now));
    expect(told?.notBefore).toBe(
      key === 'person.will-call' || hours < 21
        ? Math.max(talk.now, india(Math.floor(hours / 24) * 24 + 7))
        : india(31),
    );
  });

  it('while the shift ends too soon, and is promised the next one', () => {
    const of = withRota(shifts(9, 17, everyDay));
    expect(askedAt(15.9, of).reply).toBe(said('person.will-call', anita));
    expect(askedAt(16.5, of).reply).toBe(said('person.will-call-tomorrow', anita));
  });

  it('before the shift begins, and is promised the day on which it climbs to who is on duty by then', () => {
    const { talk, reply } = askedAt(8, withRota(shifts(9, 17, everyDay)));
    expect(reply).toBe(said('person.will-call', anita));
    expect(talk.last.outcome.commit.outbox[0]).toMatchObject({ receiver: 'mary' });
    talk.wait(9 * hour);
    expect(talk.sent.filter((m) => m.receiver === 'anita').map((m) => calendar.day(m.notBefore))).toContain(
      '2026-03-02',
    );
  });

  it('with nobody on duty today or tomorrow, and is promised nothing that nobody keeps', () => {
    const { talk, reply } = askedAt(10, withRota(shifts(9, 17, ['fri'])));
    expect(reply).toBe(said('person.passed-on', { name: 'Mary', emergency }));
    expect(reply).not.toMatch(/today|tomorrow/);
    expect(talk.last.outcome.commit.outbox[0]).toMatchObject({ receiver: 'mary' });
  });

  it('on a line without any counsellor', () => {
    expect(askedAt(10, { ...programme, counsellors: [] }).reply).toBe(said('person.nobody', anita));
  });

  it('from a number that nobody knows: the same times, in the name of the line', () => {
    const line = { name: 'Eightfeeds', emergency };
    expect(conversation(undefined, india(12)).text('PERSON')).toBe(said('person.will-call', line));
    expect(conversation(undefined, india(22)).text('PERSON')).toBe(said('person.will-call-tomorrow', line));
  });

  it('by call, and hears the same', () => {
    const talk = conversation(enrolled({}, india(5)).state, india(21.5));
    talk.answer();
    talk.keys('*');
    // The menu's key for a person: whichever it is, she hears of tomorrow.
    const heard = ['1', '2', '3', '4', '5', '6', '7', '8', '9'].map((key) => {
      const again = conversation(talk.state, talk.now);
      again.answer();
      again.keys('*');
      return again.keys(key).words;
    });
    expect(heard.join(' ')).toContain('Anita will call you tomorrow');
    expect(heard.join(' ')).not.toContain('call you today');
  });
});

describe('the promise in what is said again', () => {
  it('is that of now: tomorrow is today by then', () => {
    const { talk } = askedAt(21.5);
    talk.wait(10 * hour);
    expect(talk.text('REPEAT')).toContain('Anita will call you today');
  });

  it('is gone when the alert is closed', () => {
    const { talk } = askedAt(10);
    const { code } = talk.alert();
    talk.counsellor('anita', { kind: 'resolve', code, outcome: 'managed-by-phone', note: '' });
    expect(talk.text('REPEAT')).not.toContain('will call you');
  });
});

describe('at the end of a check-in', () => {
  it('that needs a person, late in the evening, she reads of tomorrow', () => {
    const talk = conversation(enrolled().state, india(20.6));
    const replies = ['9 3 2 2', '1 1', 'no'].map((words) => talk.text(words)).join('\n');
    expect(talk.alert().tier).toBe('B');
    expect(replies).toContain(said('feedback.person-tomorrow', anita));
    expect(replies).not.toContain('call you today');
  });

  it('that cannot wait, with nobody on duty, she is not told to expect a call', () => {
    const talk = conversation(enrolled().state, india(20.6), withRota(shifts(9, 17, everyDay)));
    const replies = ['2 8 0 0', '1 1', 'no'].map((words) => talk.text(words)).join('\n');
    expect(talk.alert().tier).toBe('A');
    expect(replies).toContain(said('feedback.person-now-passed-on', { name: 'Mary', emergency }));
    expect(replies).not.toContain('will call you');
  });
});

describe('a danger of the second urgency, confirmed', () => {
  it.each([
    ['by day', 11, 'danger.today'],
    ['at night', 22, 'danger.tomorrow'],
  ])('%s is answered with what will happen', (_, hours, key) => {
    const talk = conversation(enrolled().state, india(hours));
    talk.text('cord is red');
    expect(talk.text('1')).toContain(said(key, anita));
    expect(talk.alert()).toMatchObject({ tier: 'B', confirmed: true });
  });

  it('by silence at night, and she is not told of a call today', () => {
    const talk = conversation(enrolled().state, india(23));
    talk.text('cord is red');
    expect(talk.wait(11 * minute)).toEqual([said('danger.tomorrow', anita)]);
  });
});

describe('whatever the hour and the shifts', () => {
  it('a call is promised only for a day on which somebody on duty is told, an hour before the work ends', () => {
    const of = withRota({
      ...shifts(9, 13, ['mon', 'tue', 'thu']),
      week: [
        { who: 'anita', days: ['mon', 'tue', 'thu'], fromMinuteOfDay: 540, toMinuteOfDay: 780 },
        { who: 'anita', days: ['wed', 'thu'], fromMinuteOfDay: 960, toMinuteOfDay: 1320 },
      ],
    });
    const kinds = new Set<string>();
    for (let at = india(0); at < india(0) + 7 * day; at += 47 * minute) {
      const talk = conversation(enrolled({}, india(-24)).state, at, of);
      talk.text('PERSON');
      const { kind, toldAt } = talk.journal.findLast((j) => j.kind === 'call-promised')?.body as {
        kind: string;
        toldAt?: number;
      };
      kinds.add(kind);
      if (kind === 'open') continue;
      talk.wait(2 * day);
      const told = talk.sent.filter((m) => m.receiver === 'anita' && m.purpose === 'alert');
      expect(told.map((m) => m.notBefore)).toContain(toldAt);
      const last = calendar.plusDays(calendar.day(at), kind === 'today' ? 0 : 1);
      expect(calendar.day(toldAt ?? Infinity) <= last).toBe(true);
    }
    expect([...kinds].sort()).toEqual(['open', 'today', 'tomorrow']);
  });
});
