import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Due } from '../../src/dialog/line.ts';
import {
  another,
  asked,
  calendar,
  content,
  type Conversation,
  day,
  enrolled,
  hour,
  minute,
  monday,
  programme,
  said,
} from './conversation.ts';

const counts = said('ask.check-in.counts.ask', { baby: 'Tara' });
const tipTexts = new Set(
  content.tips.map((tip) => said(`tips.${tip.id}`, { emergency: programme.emergencyNumber })),
);
const isTip = (body: string) => tipTexts.has(body.split('\n').at(-1) ?? '');
const diet = said('ask.diet.first.ask');

/** Routine texts to the phone that break a rule, told for whoever reads the failure. Limits are the programme's own. */
function wrongs(talk: Conversation): readonly string[] {
  const routine = talk.sent.filter(
    // `reply`: the last words of a talk that nobody ended.
    (m) => m.receiver === 'line' && m.channel === 'text' && ['check-in', 'tip', 'reply'].includes(m.purpose),
  );
  const found: string[] = [];
  const perDay = new Map<string, number>();
  for (const [i, message] of routine.entries()) {
    const at = message.notBefore;
    const words = `${new Date(at).toISOString()} ${message.purpose}`;
    const local = calendar.minuteOfDay(at);
    if (local < programme.quietUntilMinuteOfDay || local >= programme.quietFromMinuteOfDay)
      found.push(`${words}: outside the hours`);
    const on = calendar.day(at);
    perDay.set(on, (perDay.get(on) ?? 0) + 1);
    if ((perDay.get(on) ?? 0) > 3) found.push(`${words}: too many`);
    const before = routine[i - 1]?.notBefore;
    if (before !== undefined && at - before < hour) found.push(`${words}: within an hour`);
    // It must not wake her, however long the carrier is away.
    const until = message.sendBefore ?? Infinity;
    if (until > calendar.instant(on, programme.quietFromMinuteOfDay))
      found.push(`${words}: could come at night`);
  }
  return found;
}

/** A phone of so many mothers, each asked at an hour of her own. */
function phoneOf(hours: readonly number[]): Conversation {
  const [first = 10, ...others] = hours;
  const talk = enrolled({ home: `1 1 ${first}` });
  for (const [i, at] of others.entries()) {
    another(talk);
    talk.text(`${20 + i} Feb ${['Bina', 'Chitra', 'Divya'][i] ?? 'Esha'}`);
    talk.text(`1 1 ${at}`);
    talk.text('1 2.9');
  }
  return talk;
}

const doings = fc.array(
  fc.oneof(
    {
      weight: 5,
      arbitrary: fc.constantFrom(
        '9 3 6 4',
        '1 1 0',
        '0',
        '1 1',
        '1 2',
        '2',
        'hello',
        'HOUR 9',
        'HOUR 19',
        'my baby has a fit',
      ),
    },
    {
      weight: 1,
      arbitrary: fc.constantFrom(
        'PAUSE 2',
        'PAUSE',
        'RESUME',
        'NO TIPS',
        'TIPS',
        'COOK',
        'LANGUAGE',
        'PERSON',
      ),
    },
    { weight: 6, arbitrary: fc.constantFrom(7 * minute, 50 * minute, 3 * hour, 9 * hour, day) },
  ),
  { maxLength: 40 },
);

describe('a phone', () => {
  it('of up to four mothers is never written to at night, twice in an hour or more than three times a day', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 8, max: 20 }), { minLength: 1, maxLength: 4 }),
        doings,
        (hours, all) => {
          const talk = phoneOf(hours);
          for (const doing of all) {
            if (typeof doing === 'number') talk.wait(doing);
            else talk.text(doing);
          }
          talk.wait(4 * day);
          expect(wrongs(talk)).toEqual([]);
        },
      ),
      { numRuns: 25 },
    );
  });

  it('of four newborns` mothers who all say the same hour brings each of them her check-ins and tips', () => {
    const talk = phoneOf([10, 10, 10, 10]);
    expect(talk.state.mothers).toHaveLength(4);
    talk.wait(14 * day);
    expect(wrongs(talk)).toEqual([]);
    for (const { name } of talk.state.mothers) {
      const hers = talk.sent.filter((m) =>
        m.body.includes(said('check-in.hello-name', { name: name ?? '' })),
      );
      expect(hers.length, name ?? '').toBeGreaterThanOrEqual(6);
      const tips = talk.sent.filter((m) => m.body.startsWith(said('tip-for', { name: name ?? '' })));
      expect(tips.length, name ?? '').toBeGreaterThanOrEqual(1);
    }
  });

  it('gets no last words at night of a check-in that lay half answered under another talk', () => {
    const talk = enrolled({ home: '1 1 19' });
    talk.wait(9 * hour);
    talk.text('9 3 6 4');
    talk.wait(40 * minute);
    talk.text('LANGUAGE');
    expect(talk.wait(8 * hour)).toEqual([]);
    expect(talk.state.dialog).toBeNull();
    expect(talk.state.mothers[0]?.checkIns.at(-1)?.answers).toMatchObject({ 'feeds#0': 9 });
    expect(talk.journal.some((j) => j.kind === 'not-said')).toBe(true);
  });

  it('has one due time, the earliest of all that is planned for it', () => {
    const talk = phoneOf([9, 13]);
    const dues: readonly Due[] = talk.state.dues;
    expect(talk.last.outcome.commit.nextDueAt).toBe(Math.min(...dues.map((d) => d.at)));
  });
});

describe('tips', () => {
  it('come at another time of day than the check-in, the first on the day after she joined, and none twice', () => {
    const talk = enrolled();
    talk.wait(60 * day);
    const tips = talk.sent.filter((m) => isTip(m.body));
    expect(tips[0]?.notBefore).toBe(monday + day + 5 * hour);
    for (const tip of tips) expect(tip).toMatchObject({ purpose: 'tip', priority: 5 });
    expect(new Set(tips.map((m) => m.body)).size).toBe(tips.length);
    const told = talk.journal.filter((j) => j.kind === 'tip');
    expect(told).toHaveLength(tips.length);
    expect(told[0]?.body).toMatchObject({ mother: 0, tip: expect.any(String), why: expect.any(Array) });
  });

  it('are kept in mind only while they could be told again', () => {
    const talk = enrolled();
    talk.wait(200 * day);
    const kept = talk.state.mothers[0]?.tipsTold ?? [];
    expect(kept.length).toBeLessThan(talk.journal.filter((j) => j.kind === 'tip').length);
  });

  it('end with a word and begin again with another', () => {
    const talk = enrolled();
    expect(talk.text('no tips')).toBe(said('rhythm.no-tips'));
    expect(talk.wait(20 * day).some(isTip)).toBe(false);
    expect(talk.text('TIPS')).toBe(said('rhythm.tips'));
    expect(talk.wait(2 * day).some(isTip)).toBe(true);
  });
});

describe('after a danger', () => {
  it('nothing routine comes for an hour, and neither a tip nor a question about food for a day', () => {
    const talk = enrolled({ born: '20 Feb Asha', home: '1 1 10' });
    talk.wait(3 * day - 20 * minute);
    talk.text('my baby has a fit');
    const { now } = talk;
    talk.wait(3 * day);
    const routine = talk.sent.filter((m) => m.receiver === 'line' && m.notBefore > now);
    const first = (of: (body: string) => boolean) => routine.find((m) => of(m.body))?.notBefore ?? Infinity;
    expect(first((body) => body.includes(counts))).toBeGreaterThanOrEqual(now + hour);
    expect(first(isTip)).toBeGreaterThanOrEqual(now + day);
    expect(first((body) => body === diet)).toBeGreaterThanOrEqual(now + day);
  });

  it('does not bring a question about food that was on its way', () => {
    const talk = asked({ born: '20 Feb Asha' });
    talk.text('9 3 6 4');
    talk.text('1 1 0');
    while (talk.state.dialog !== null) talk.text('0');
    talk.text('my baby has a fit');
    expect(talk.wait(23 * hour)).not.toContain(diet);
  });

  it('or a worry she is asked daily, however seldom before, until three days after it is closed', () => {
    const talk = enrolled({ born: '20 Nov 2025 Asha' });
    talk.wait(2 * day + minute);
    const next = () => talk.state.dues.find((d) => d.kind === 'check-in')?.at ?? 0;
    expect(next()).toBeGreaterThan(talk.now + 4 * day);
    talk.text('I am worried');
    expect(talk.alert()).toMatchObject({ tier: 'C' });
    expect(next()).toBeLessThanOrEqual(talk.now + day);
    talk.counsellor('anita', { kind: 'acknowledge', code: talk.alert().code });
    talk.counsellor('anita', { kind: 'resolve', code: talk.alert().code, outcome: 'reached-care', note: '' });
    const asks = () => talk.sent.filter((m) => m.body.includes(counts)).length;
    const before = asks();
    for (let days = 0; days < 3; days++) {
      talk.wait(day);
      talk.text('9 3 6 4');
      talk.text('1 1 0');
      while (talk.state.dialog !== null) talk.text('0');
    }
    expect(asks()).toBe(before + 3);
    expect(next()).toBeGreaterThan(talk.now + 2 * day);
  });
});
