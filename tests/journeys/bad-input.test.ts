import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { expectTheSameOnEachStore, journeyStores } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers, sid } from './journey-line.ts';
import { joinInEnglish, phoneOf } from './people.ts';
import { monday } from './the-week.ts';

describe.each(journeyStores)('what the line must not take, on %s', (on) => {
  let line: JourneyLine;
  beforeAll(async () => {
    line = await journeyLine(monday, on);
  });
  afterAll(() => line.close());

  const fields = (name: string, body: string) => ({
    AccountSid: `AC${'7e'.repeat(16)}`,
    MessageSid: sid('SM', name),
    From: numbers.mother,
    To: numbers.line,
    Body: body,
  });
  const form = (of: Record<string, string>) => new URLSearchParams(of).toString();
  const kept = () => line.store.lineIds(10);

  it('refuses a wrong signature with 403 and records nothing', async () => {
    const joined = fields('forged', 'JOIN');
    const other = line.sign('/carrier/text', { ...joined, Body: 'something else' });
    for (const headers of [{ 'x-twilio-signature': other }, { 'x-twilio-signature': 'x' }, {}] as const) {
      const answer = await line.postRaw('/carrier/text', form(joined), headers);
      expect(answer.status).toBe(403);
    }
    expect(await kept()).toEqual([]);
    expect(line.sent).toEqual([]);
  });

  it('refuses a signature made for another address', async () => {
    const joined = fields('elsewhere', 'JOIN');
    const answer = await line.postRaw('/carrier/text', form(joined), {
      'x-twilio-signature': line.sign('/carrier/call', joined),
      'x-forwarded-host': 'line.example.test',
    });
    expect(answer.status).toBe(403);
    expect(await kept()).toEqual([]);
  });

  it('refuses a body over 64 KB with 413 and records nothing', async () => {
    const long = fields('long', 'x'.repeat(65 * 1024));
    const answer = await line.postRaw('/carrier/text', form(long), {
      'x-twilio-signature': line.sign('/carrier/text', long),
    });
    expect(answer.status).toBe(413);
    expect(await kept()).toEqual([]);
  });

  it('invites an unknown number and keeps no record of it until it agrees', async () => {
    const phone = phoneOf(line, numbers.stranger, 'stranger');
    for (const body of ['hello', 'who is this', '9 3 6 4', 'HELP', 'STOP', '']) {
      await phone.text(body);
    }
    expect(await phone.text('hi')).toContain('JOIN');
    expect(await kept()).toEqual([]);
    await joinInEnglish(phone);
    expect(await kept()).toHaveLength(1);
    const first = (await line.journal(numbers.stranger)).map((j) => j.kind);
    expect(first.slice(0, 2)).toEqual(['text-in', 'consent']);
  });

  it('gives a danger from an unknown number the safety words and an alert', async () => {
    const unknown = phoneOf(line, numbers.mother, 'unknown');
    const anita = phoneOf(line, numbers.anita, 'anita');
    const reply = await unknown.text('my baby has a fit');
    expect(reply).toContain('112');
    expect(reply).toMatch(/facility/);
    expect(anita.received().join()).toContain(numbers.mother);
    expect((await line.state(numbers.mother))?.standing).toBe('guest');
  });
});

expectTheSameOnEachStore();
