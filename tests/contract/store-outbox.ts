import { expect, it } from 'vitest';
import type { OutboxMessage, Store } from '../../src/store/store.ts';
import { change, line, message, phoneOf, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

const minute = 60_000;
const idsOf = (messages: readonly { readonly id: string }[]) => messages.map((m) => m.id);

/** Writes each message in a commit of its own, in the order given. */
async function post(store: Store, ...messages: readonly OutboxMessage[]): Promise<void> {
  for (const m of messages) {
    const kept = await store.load(m.lineId);
    await store.commit(change(m.lineId, kept?.version ?? 0, { outbox: [m] }));
  }
}

export const outboxContract: ContractPart = (place) => {
  const { open } = ownStore(place);

  it('gives a message whole, and tells its state by its id', async () => {
    const store = await open();
    const posted = message(line(1), 'm1', {
      body: 'कितनी बार? 🍼',
      channel: 'call',
      sendBefore: t0 + minute,
      language: 'hi',
    });
    await post(store, posted);
    expect(await store.message('m1')).toEqual({
      ...posted,
      state: 'waiting',
      attempts: 0,
      carrierId: null,
      why: null,
    });
    const [taken] = await store.takeOutbox(t0, 10, minute);
    expect(taken).toEqual({ ...posted, attempts: 0, mayHaveBeenSent: false, leaseToken: expect.any(String) });
    expect(await store.message('m1')).toMatchObject({ state: 'held', attempts: 1 });
    expect(
      await store.settleMessage('m1', taken?.leaseToken ?? '', { kind: 'sent', carrierId: 'SM9', at: t0 }),
    ).toBe(true);
    expect(await store.message('m1')).toEqual({
      ...posted,
      state: 'sent',
      attempts: 1,
      carrierId: 'SM9',
      why: null,
    });
    expect(await store.takeOutbox(t0 + 100 * minute, 10, minute)).toEqual([]);
  });

  it('gives the most urgent first, then the one that could go first', async () => {
    const store = await open();
    await post(
      store,
      message(line(1), 'tip', { priority: 5 }),
      message(line(2), 'second check-in', { priority: 4, notBefore: t0 - 1 }),
      message(line(3), 'third check-in', { priority: 4, notBefore: t0 }),
      message(line(4), 'first check-in', { priority: 4, notBefore: t0 - 2 }),
      message(line(5), 'safety', { priority: 0 }),
      message(line(6), 'alert', { priority: 1 }),
      message(line(7), 'not yet', { priority: 0, notBefore: t0 + 1 }),
    );
    const order = ['safety', 'alert', 'first check-in', 'second check-in', 'third check-in', 'tip'];
    expect(idsOf(await store.takeOutbox(t0, 2, minute))).toEqual(order.slice(0, 2));
    expect(idsOf(await store.takeOutbox(t0, 10, minute))).toEqual(order.slice(2));
    expect(idsOf(await store.takeOutbox(t0 + 1, 10, minute))).toEqual(['not yet']);
  });

  it('keeps the order to one receiver: a later one waits while an earlier one waits or is held', async () => {
    const store = await open();
    await post(
      store,
      message(line(1), 'one', { notBefore: t0 + minute }),
      message(line(1), 'two'),
      message(line(1), 'to another', { receiver: 'counsellor-1', to: phoneOf(900) }),
      message(line(1), 'more urgent', { priority: 0 }),
      message(line(2), 'of another line'),
    );
    const taken = await store.takeOutbox(t0, 10, 10 * minute);
    expect(taken[0]?.id).toBe('more urgent');
    expect(idsOf(taken).sort()).toEqual(['more urgent', 'of another line', 'to another']);
    const [one] = await store.takeOutbox(t0 + minute, 10, 10 * minute);
    expect(one?.id).toBe('one');
    expect(await store.takeOutbox(t0 + minute, 10, 10 * minute)).toEqual([]);
    await store.settleMessage('one', one?.leaseToken ?? '', {
      kind: 'again',
      at: t0 + 3 * minute,
      why: 'busy',
      mayHaveBeenSent: false,
    });
    expect(await store.takeOutbox(t0 + 2 * minute, 10, minute)).toEqual([]);
    const [oneAgain] = await store.takeOutbox(t0 + 3 * minute, 10, 5 * minute);
    expect(oneAgain).toMatchObject({ id: 'one', attempts: 1, mayHaveBeenSent: false });
    await store.settleMessage('one', oneAgain?.leaseToken ?? '', {
      kind: 'gave-up',
      at: t0,
      why: 'unknown number',
    });
    expect(idsOf(await store.takeOutbox(t0 + 3 * minute, 10, minute))).toEqual(['two']);
    expect(await store.message('one')).toMatchObject({
      state: 'gave-up',
      attempts: 2,
      why: 'unknown number',
    });
  });

  it('lets a lower urgency that was written earlier wait without holding up a higher one', async () => {
    const store = await open();
    await post(
      store,
      message(line(1), 'tip', { priority: 5 }),
      message(line(1), 'reply', { priority: 2 }),
      message(line(1), 'late tip', { priority: 5 }),
    );
    const first = await store.takeOutbox(t0, 10, minute);
    // 'tip' may go beside 'reply', which came after it; 'late tip' waits for both.
    expect(idsOf(first)).toEqual(['reply', 'tip']);
  });

  it('says that a message may have been sent when its lease ran out, and keeps saying so', async () => {
    const store = await open();
    await post(store, message(line(1), 'm1'));
    await store.takeOutbox(t0, 10, minute);
    expect(await store.takeOutbox(t0 + minute - 1, 10, minute)).toEqual([]);
    const [second] = await store.takeOutbox(t0 + minute, 10, minute);
    expect(second).toMatchObject({ id: 'm1', attempts: 1, mayHaveBeenSent: true });
    await store.settleMessage('m1', second?.leaseToken ?? '', {
      kind: 'again',
      at: t0,
      why: 'refused',
      mayHaveBeenSent: false,
    });
    const [third] = await store.takeOutbox(t0 + minute, 10, minute);
    expect(third).toMatchObject({ attempts: 2, mayHaveBeenSent: true });
  });

  it('remembers from the taker that the message may have been sent', async () => {
    const store = await open();
    await post(store, message(line(1), 'm1'));
    const [first] = await store.takeOutbox(t0, 10, minute);
    await store.settleMessage('m1', first?.leaseToken ?? '', {
      kind: 'again',
      at: t0 + 1,
      why: 'no answer',
      mayHaveBeenSent: true,
    });
    expect(await store.message('m1')).toMatchObject({
      state: 'waiting',
      why: 'no answer',
      notBefore: t0 + 1,
    });
    expect(await store.takeOutbox(t0 + 1, 10, minute)).toMatchObject([{ id: 'm1', mayHaveBeenSent: true }]);
  });

  it('refuses a taker that lost its lease to another, and anyone after the end', async () => {
    const store = await open();
    await post(store, message(line(1), 'm1'));
    const [paused] = await store.takeOutbox(t0, 1, minute);
    const [other] = await store.takeOutbox(t0 + minute, 1, minute);
    expect(other?.id).toBe(paused?.id);
    expect(other?.leaseToken).not.toBe(paused?.leaseToken);
    const sent = { kind: 'sent', carrierId: 'SM1', at: t0 } as const;
    expect(await store.settleMessage('m1', paused?.leaseToken ?? '', sent)).toBe(false);
    expect(await store.message('m1')).toMatchObject({ state: 'held', carrierId: null });
    expect(await store.settleMessage('m1', 'made up', sent)).toBe(false);
    expect(await store.settleMessage('nobody', other?.leaseToken ?? '', sent)).toBe(false);
    expect(await store.settleMessage('m1', other?.leaseToken ?? '', sent)).toBe(true);
    expect(
      await store.settleMessage('m1', other?.leaseToken ?? '', { kind: 'gave-up', at: t0, why: 'x' }),
    ).toBe(false);
    expect(await store.message('m1')).toMatchObject({ state: 'sent' });
  });

  it('accepts a slow taker whose message nobody else took', async () => {
    const store = await open();
    await post(store, message(line(1), 'm1'));
    const [slow] = await store.takeOutbox(t0, 1, minute);
    expect(
      await store.settleMessage('m1', slow?.leaseToken ?? '', {
        kind: 'sent',
        carrierId: 'SM1',
        at: t0 + 9 * minute,
      }),
    ).toBe(true);
  });

  it('drops a message that is too late, says so, and lets the next one go', async () => {
    const store = await open();
    await post(
      store,
      message(line(1), 'late', { sendBefore: t0 + minute }),
      message(line(1), 'next'),
      message(line(2), 'just in time', { sendBefore: t0 + minute + 1 }),
    );
    const taken = await store.takeOutbox(t0 + minute + 1, 10, minute);
    expect(idsOf(taken).sort()).toEqual(['just in time', 'next']);
    expect(await store.message('late')).toMatchObject({
      state: 'gave-up',
      attempts: 0,
      why: 'too late to send',
    });
  });

  it('keeps what was given up until its line has been told, whoever gave it up', async () => {
    const store = await open();
    await post(
      store,
      message(line(1), 'given up'),
      message(line(2), 'late', { sendBefore: t0 + 1 }),
      message(line(3), 'alert'),
      message(line(4), 'sent'),
      message(line(5), 'waits'),
    );
    const taken = await store.takeOutbox(t0, 10, minute);
    const tokenOf = (id: string) => taken.find((m) => m.id === id)?.leaseToken ?? '';
    const sent = { kind: 'sent', carrierId: 'SM1', at: t0 } as const;
    await store.settleMessage('given up', tokenOf('given up'), {
      kind: 'gave-up',
      at: t0,
      why: 'landline 21614',
    });
    await store.settleMessage('alert', tokenOf('alert'), { ...sent, tellLine: true });
    await store.settleMessage('sent', tokenOf('sent'), sent);
    expect(await store.settleMessage('late', 'another', { kind: 'gave-up', at: t0, why: 'no' })).toBe(false);
    await store.takeOutbox(t0 + 2 * minute, 10, minute);
    const untold = await store.untold(10);
    expect(idsOf(untold).sort()).toEqual(['alert', 'given up', 'late']);
    expect(untold.find((m) => m.id === 'given up')).toMatchObject({
      state: 'gave-up',
      why: 'landline 21614',
    });
    expect(untold.find((m) => m.id === 'late')).toMatchObject({ state: 'gave-up', lineId: line(2) });
    expect(await store.untold(2)).toHaveLength(2);
    await store.noteTold('given up');
    await store.noteTold('given up');
    await store.noteTold('nothing of this name');
    expect(idsOf(await store.untold(10)).sort()).toEqual(['alert', 'late']);
    for (const { id } of await store.untold(10)) await store.noteTold(id);
    expect(await store.untold(10)).toEqual([]);
    expect(await store.message('given up')).toMatchObject({ state: 'gave-up' });
  });

  it('gives each message to one of several takers at once', async () => {
    const store = await open();
    const ids = Array.from({ length: 60 }, (_, n) => `m${n}`);
    await Promise.all(
      ids.map((id, n) => store.commit(change(line(n), 0, { outbox: [message(line(n), id)] }))),
    );
    const takes = await Promise.all(Array.from({ length: 8 }, () => store.takeOutbox(t0, 10, minute)));
    const taken = takes.flat();
    expect(new Set(idsOf(taken)).size).toBe(taken.length);
    for (;;) {
      const more = await store.takeOutbox(t0, 10, minute);
      taken.push(...more);
      if (more.length === 0) break;
    }
    expect(idsOf(taken).sort()).toEqual(ids.sort());
  });

  it('counts the messages that are ready, held ones too', async () => {
    const store = await open();
    await post(
      store,
      message(line(1), 'm1', { notBefore: t0 - 5 }),
      message(line(2), 'm2'),
      message(line(3), 'm3', { notBefore: t0 + 1 }),
    );
    const [held] = await store.takeOutbox(t0, 1, minute);
    expect(await store.backlog(t0)).toMatchObject({ waitingMessages: 2, oldestMessageAt: t0 - 5 });
    await store.settleMessage('m1', held?.leaseToken ?? '', { kind: 'sent', carrierId: 'SM1', at: t0 });
    expect(await store.backlog(t0)).toMatchObject({ waitingMessages: 1, oldestMessageAt: t0 });
  });
};
