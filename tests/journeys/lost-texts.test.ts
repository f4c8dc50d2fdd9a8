import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectTheSameOnEachStore, onEachStore } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers, sid } from './journey-line.ts';
import { joinInEnglish, type Phone, phoneOf } from './people.ts';

const hour = 3_600_000;
/** Monday 2 March 2026, 10:00 in India. */
const monday = Date.UTC(2026, 2, 2, 4, 30);

describe.each(onEachStore([{}]))('a mother whose texts get lost, on $on', ({ on }) => {
  let line: JourneyLine;
  let asha: Phone;
  let told = 0;
  beforeEach(async () => {
    line = await journeyLine(monday, on);
    told = 0;
    asha = phoneOf(line, numbers.mother, 'asha');
    await joinInEnglish(asha);
    for (const words of ['15 Jan Asha', '1 1 10', '1 2.9 Tara']) await asha.text(words);
  });
  afterEach(() => line.close());

  /** The carrier's word on each text to her since the last time. 30003: the handset could not be reached. */
  const receipts = async (status: 'delivered' | 'undelivered') => {
    const from = told;
    told = line.sent.length;
    for (const [index, message] of line.sent.entries()) {
      if (index < from || message.kind !== 'text' || message.to !== numbers.mother) continue;
      await line.post(`/carrier/receipt?outbox=${encodeURIComponent(message.id)}`, {
        MessageSid: sid('SM', `out ${index + 1}`),
        MessageStatus: status,
        ...(status === 'undelivered' ? { ErrorCode: '30003' } : {}),
        From: numbers.line,
        To: message.to,
      });
    }
  };
  const hours = async (count: number, status: 'delivered' | 'undelivered') => {
    for (let i = 0; i < count; i++) {
      await line.forward(hour);
      await receipts(status);
    }
  };
  const kinds = async () => (await line.journal(numbers.mother)).map(({ kind }) => kind);
  const reasons = async () =>
    ((await line.state(numbers.mother))?.alerts ?? []).flatMap((alert) => alert.reasons);

  it('is told a lost tip again, and is not called silent but not reached', async () => {
    await hours(4 * 24, 'undelivered');
    expect(await kinds()).toEqual(
      expect.arrayContaining(['tip-lost', 'check-in-lost', 'check-in-not-reached']),
    );
    expect(await reasons()).toEqual(['unreachable']);
    expect((await line.state(numbers.mother))?.mothers[0]?.missed).toBe(0);
    const tips = (await line.journal(numbers.mother)).filter(({ kind }) => kind === 'tip');
    const ids = tips.map(({ body }) => (body as { tip: string }).tip);
    expect(ids.length).toBeGreaterThan(1);
    expect(new Set(ids).size).toBe(1);
  });

  it('is silent, as ever, when they arrive and she does not answer', async () => {
    await hours(4 * 24, 'delivered');
    expect(await reasons()).not.toContain('unreachable');
    expect((await line.state(numbers.mother))?.mothers[0]?.missed).toBeGreaterThan(0);
  });
});

expectTheSameOnEachStore();
