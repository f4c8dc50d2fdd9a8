import { describe, expect, it } from 'vitest';
import type { Carrier } from '../../src/channels/carrier.ts';
import type { LineEvent } from '../../src/dialog/event.ts';
import { CarrierRefused, CarrierUnreachable } from '../../src/errors.ts';
import { outboxWorker } from '../../src/outreach/outbox-worker.ts';
import type { OutboxRecord, TakenMessage } from '../../src/store/store.ts';
import { outboxOf, taken } from './stand-in-store.ts';

const now = 1_000_000;

async function run(
  messages: readonly TakenMessage[],
  send: Carrier['sendText'] = async () => ({ carrierId: 'SM1' }),
  lost: readonly string[] = [],
  ended: readonly OutboxRecord[] = [],
) {
  const outbox = outboxOf(messages);
  outbox.untold.push(...ended);
  for (const id of lost) outbox.lost.add(id);
  const sent: { id: string; validForSeconds?: number }[] = [];
  const called: string[] = [];
  const told: LineEvent[] = [];
  const troubles: unknown[] = [];
  const worker = outboxWorker({
    store: outbox.store,
    clock: { now: () => now },
    carrier: {
      name: 'stand-in',
      sendText: async (message) => {
        sent.push(message);
        return send(message);
      },
      placeCall: async ({ id }) => {
        called.push(id);
        return { carrierId: 'CA1' };
      },
    },
    tell: async (_line, event) => {
      told.push(event);
    },
    onTrouble: (error) => troubles.push(error),
  });
  await worker.runNow();
  await worker.stop();
  const notSent = told.filter((e) => e.kind === 'receipt' && e.status === 'not-sent');
  return { settled: outbox.settled, untold: outbox.untold, told, sent, called, notSent, troubles };
}

describe('the outbox', () => {
  it('sends a text as a text and a call as a call, and settles each', async () => {
    const { settled, sent, called } = await run([
      taken('a', 'reply'),
      taken('b', 'alert', { channel: 'call' }),
    ]);
    expect(sent.map((m) => m.id)).toEqual(['a']);
    expect(called).toEqual(['b']);
    expect([...settled.values()].map((o) => o.kind)).toEqual(['sent', 'sent']);
  });

  it('goes on until nothing waits', async () => {
    const many = Array.from({ length: 70 }, (_, i) => taken(`m${i}`, 'reply'));
    expect((await run(many)).sent).toHaveLength(70);
  });

  it('never sends late what has a time, and tells its line', async () => {
    const { sent, settled, notSent } = await run([taken('a', 'check-in', { sendBefore: now - 1 })]);
    expect(sent).toEqual([]);
    expect(settled.get('a')).toMatchObject({ kind: 'gave-up' });
    expect(notSent).toHaveLength(1);
  });

  it('lets the carrier hold a timed message no longer than it is good, within the carrier`s limits', async () => {
    const { sent } = await run([
      taken('soon', 'check-in', { sendBefore: now + 5_000 }),
      taken('hour', 'check-in', { sendBefore: now + 3_600_000 }),
      taken('week', 'check-in', { sendBefore: now + 7 * 86_400_000 }),
    ]);
    expect(sent.map((m) => m.validForSeconds)).toEqual([60, 3600, 36_000]);
  });

  it('that may have been sent already: sends an alert again, and a check-in never', async () => {
    const again = { mayHaveBeenSent: true };
    const { sent, settled } = await run([
      taken('alert', 'alert', again),
      taken('safety', 'safety', again),
      taken('check-in', 'check-in', again),
      taken('tip', 'tip', again),
      taken('follow-up', 'follow-up', again),
    ]);
    expect(sent.map((m) => m.id).sort()).toEqual(['alert', 'safety']);
    expect(settled.get('check-in')).toMatchObject({ kind: 'gave-up' });
  });

  it('tries again what the carrier could not take, an alert without end', async () => {
    const refuse = async () => {
      throw new CarrierRefused('busy', undefined, 429);
    };
    const { settled, troubles } = await run([taken('a', 'alert', { attempts: 50 })], refuse);
    const outcome = settled.get('a');
    expect(outcome).toMatchObject({ kind: 'again' });
    if (outcome?.kind === 'again') expect(outcome.at - now).toBeLessThanOrEqual(2 * 60_000);
    expect(troubles).toHaveLength(1);
  });

  it('whose answer was lost: an alert goes again as "may have been sent", a check-in is given up', async () => {
    const vanish = async () => {
      throw new CarrierUnreachable('no answer', true);
    };
    const { settled, notSent } = await run([taken('a', 'alert'), taken('c', 'check-in')], vanish);
    expect(settled.get('a')).toMatchObject({ kind: 'again', mayHaveBeenSent: true });
    expect(settled.get('c')).toMatchObject({ kind: 'gave-up' });
    expect(notSent).toHaveLength(1);
  });

  it('tells the line of a message that another worker gave up and died, and of one that grew too late', async () => {
    const { told, untold } = await run(
      [],
      undefined,
      [],
      [
        { ...taken('dead', 'tip'), state: 'gave-up', carrierId: null, why: 'landline 21614' },
        { ...taken('late', 'check-in'), state: 'gave-up', carrierId: null, why: 'too late to send' },
        { ...taken('alert', 'alert'), state: 'sent', carrierId: 'SM7', why: null },
      ],
    );
    expect(told).toMatchObject([
      { id: 'gave-up dead', status: 'not-sent', fault: 'landline', errorCode: 21614 },
      { id: 'gave-up late', status: 'not-sent', fault: 'too-late' },
      { id: 'taken alert', status: 'taken' },
    ]);
    expect(untold).toEqual([]);
  });

  it('does not send what it took before it stood still for longer than its lease', async () => {
    const { store, settled } = outboxOf([taken('a', 'alert'), taken('b', 'reply')]);
    let at = now;
    const sent: string[] = [];
    const worker = outboxWorker({
      store: {
        ...store,
        takeOutbox: async (...args) => {
          const some = await store.takeOutbox(...args);
          at += 15_000;
          return some;
        },
      },
      clock: { now: () => at },
      carrier: {
        name: 'stand-in',
        sendText: async ({ id }) => {
          sent.push(id);
          return { carrierId: 'SM1' };
        },
        placeCall: async () => ({ carrierId: 'CA1' }),
      },
      tell: async () => undefined,
      onTrouble: () => undefined,
    });
    await worker.runNow();
    await worker.stop();
    expect(sent).toEqual([]);
    expect(settled.size).toBe(0);
  });

  it('acts no more on a message whose lease another has', async () => {
    const { notSent } = await run([taken('a', 'check-in', { sendBefore: 0 })], undefined, ['a']);
    expect(notSent).toEqual([]);
  });
});
