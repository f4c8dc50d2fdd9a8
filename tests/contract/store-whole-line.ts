import { expect, it } from 'vitest';
import { AlertCodeTaken, StoreUnavailable } from '../../src/errors.ts';
import type { Store, WholeLine } from '../../src/store/store.ts';
import { alert, change, line, message, newSealer, phoneOf, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

const minute = 60_000;

/** A line with something of every kind: a long journal, replies, alerts, and messages in every state. */
async function lived(store: Store): Promise<WholeLine> {
  const id = line(1);
  for (let n = 0; n < 70; n++) {
    const entries = Array.from({ length: n % 3 }, (_, i) => ({
      at: t0 + n * minute,
      kind: i === 0 ? 'said' : 'check-in',
      body: JSON.stringify({ words: `दूध ${n}`, i }),
    }));
    await store.commit(
      change(id, n, {
        ...(n > 60 ? { inboundId: `SM${n}`, reply: `reply ${n}` } : {}),
        journal: entries,
        nextDueAt: t0 + n,
      }),
    );
  }
  const messages = ['sent', 'gave up', 'late', 'again', 'held', 'waiting', 'behind'].map((name, n) =>
    message(id, `${id}.${n}.${name}`, {
      body: `Words of ${name}`,
      receiver: name === 'behind' ? 'to waiting' : `to ${name}`,
      to: phoneOf(n),
      priority: n,
      sendBefore: name === 'late' ? t0 + 1 : null,
      notBefore: name === 'waiting' ? t0 + minute : t0,
    }),
  );
  const closed = alert(id, 'a1', '1111');
  const open = alert(id, 'a2', '2222', { tier: 'B' });
  await store.commit(
    change(id, 70, { state: '{"first":"state"}', outbox: messages, alerts: [closed, open] }),
  );
  await store.commit(
    change(id, 71, {
      state: '{"last":"state"}',
      nextDueAt: t0 + 5,
      alerts: [{ ...closed, open: false }, open],
    }),
  );
  for (const taken of await store.takeOutbox(t0, 10, minute)) {
    const name = taken.id.split('.').at(-1) ?? '';
    const settle = (outcome: Parameters<Store['settleMessage']>[2]) =>
      store.settleMessage(taken.id, taken.leaseToken, outcome);
    if (name === 'sent') await settle({ kind: 'sent', carrierId: 'SM9', at: t0 });
    if (name === 'gave up') await settle({ kind: 'gave-up', at: t0, why: 'no such number' });
    if (name === 'again')
      await settle({ kind: 'again', at: t0 + 9 * minute, why: 'busy', mayHaveBeenSent: true });
    if (name === 'late') await settle({ kind: 'again', at: t0, why: 'busy', mayHaveBeenSent: false });
  }
  await store.takeOutbox(t0 + 2, 10, minute);
  const whole = await store.readLine(id);
  if (whole === undefined) throw new Error('The line is not there.');
  return whole;
}

export const wholeLineContract: ContractPart = (place) => {
  const { newPlace, at, open } = ownStore(place);

  it('has the lines that came from elsewhere told once more of what was given up', async () => {
    const store = await open();
    const whole = await lived(store);
    const other = await at(await newPlace(), newSealer());
    expect(await other.writeLine(whole)).toBe('written');
    const untold = (await other.untold(10)).map(({ id }) => id.split('.').at(-1));
    expect(untold.toSorted()).toEqual(['gave up', 'late']);
  });

  it('gives everything that is kept of a line', async () => {
    const store = await open();
    expect(await store.readLine(line(1))).toBeUndefined();
    const whole = await lived(store);
    expect(whole).toMatchObject({
      lineId: line(1),
      version: 72,
      state: '{"last":"state"}',
      nextDueAt: t0 + 5,
    });
    expect(whole.journal).toEqual(await store.journal(line(1), 1_000));
    expect(whole.journal).toHaveLength(69);
    expect(whole.replies.map(({ reply }) => reply)).toEqual(
      Array.from({ length: 9 }, (_, n) => `reply ${61 + n}`),
    );
    expect(whole.alerts).toEqual([
      alert(line(1), 'a1', '1111', { open: false }),
      alert(line(1), 'a2', '2222', { tier: 'B' }),
    ]);
    const states = whole.outbox.map(({ id, state }) => [id.split('.').at(-1), state]);
    expect(states.slice(0, 3).toSorted()).toEqual([
      ['gave up', 'gave-up'],
      ['late', 'gave-up'],
      ['sent', 'sent'],
    ]);
    expect(states.slice(3)).toEqual([
      ['again', 'waiting'],
      ['held', 'held'],
      ['waiting', 'waiting'],
      ['behind', 'waiting'],
    ]);
    const settledAts = whole.outbox.map(({ settledAt }) => settledAt);
    expect(settledAts.map((at) => at === null)).toEqual([false, false, false, true, true, true, true]);
    expect(settledAts.slice(0, 3)).toEqual(settledAts.slice(0, 3).toSorted());
    for (const one of whole.outbox) {
      const { mayHaveBeenSent, leaseUntil, settledAt, ...record } = one;
      expect(await store.message(one.id)).toEqual(record);
      expect(mayHaveBeenSent).toBe(one.id.endsWith('again'));
      expect(leaseUntil).toBe(record.state === 'held' ? t0 + minute : 0);
      if (settledAt !== null) expect(Math.abs(settledAt - Date.now())).toBeLessThan(minute);
    }
  });

  it('puts a whole line elsewhere: the same, and it goes on from there', async () => {
    const whole = await lived(await open());
    const where = await newPlace();
    const sealer = newSealer();
    const there = await at(where, sealer);
    expect(await there.writeLine(whole)).toBe('written');
    expect(await there.readLine(line(1))).toEqual(whole);
    await there.close();

    const store = await at(where, sealer);
    expect(await store.readLine(line(1))).toEqual(whole);
    expect(await store.lineIds(9)).toEqual([line(1)]);
    expect(await store.load(line(1))).toEqual({ version: 72, state: whole.state });
    expect(await store.journal(line(1), 3, 40)).toEqual(whole.journal.slice(40, 43));
    expect(await store.replyTo('SM65', line(1))).toBe('reply 65');
    expect(await store.commit(change(line(1), 0, { inboundId: 'SM69' }))).toEqual({
      kind: 'repeated',
      reply: 'reply 69',
    });
    expect(await store.alertByCode('1111')).toEqual(whole.alerts[0]);
    expect(await store.openAlerts(9)).toEqual(whole.alerts.slice(1));
    expect(await store.takeDueLines(t0 + 5, 9, minute)).toEqual([line(1)]);
    expect(await store.backlog(t0 + minute - 1)).toMatchObject({ waitingMessages: 2, openAlerts: 1 });
    expect(await store.takeOutbox(t0 + minute - 1, 9, minute)).toEqual([]);
    // The one who held it is elsewhere: it is given again when the lease is over, and may have gone out already.
    const taken = await store.takeOutbox(t0 + minute, 9, minute);
    expect(taken.map((m) => [m.id.split('.').at(-1), m.attempts, m.mayHaveBeenSent])).toEqual([
      ['held', 1, true],
      ['waiting', 0, false],
    ]);
    for (const m of taken)
      await store.settleMessage(m.id, m.leaseToken, { kind: 'sent', carrierId: 'x', at: t0 });
    const next = await store.takeOutbox(t0 + 9 * minute, 9, minute);
    expect(next.map((m) => [m.id.split('.').at(-1), m.mayHaveBeenSent])).toEqual([
      ['again', true],
      ['behind', false],
    ]);
    const entry = { at: t0, kind: 'new', body: '{}' };
    await store.commit(change(line(1), 72, { inboundId: 'SM new', journal: [entry] }));
    expect(await store.journal(line(1), 9, 68)).toEqual([whole.journal[68], { ...entry, seq: 70 }]);
  });

  it('writes nothing where the line is kept already', async () => {
    const whole = await lived(await open());
    const store = await open();
    expect(await store.writeLine(whole)).toBe('written');
    await store.commit(change(line(1), 72, { state: 'newer' }));
    const newer = await store.readLine(line(1));
    expect(await store.writeLine(whole)).toBe('there');
    expect(await store.readLine(line(1))).toEqual(newer);
    await store.commit(change(line(2), 0, { state: 'other' }));
    expect(await store.writeLine({ ...whole, lineId: line(2), outbox: [], alerts: [] })).toBe('there');
    expect(await store.load(line(2))).toEqual({ version: 1, state: 'other' });
  });

  it('refuses a line whose alert code is taken or whose message stands twice, and keeps nothing of it', async () => {
    const whole = await lived(await open());
    const store = await open();
    await store.commit(change(line(2), 0, { alerts: [alert(line(2), 'b1', '2222')] }));
    await expect(store.writeLine(whole)).rejects.toBeInstanceOf(AlertCodeTaken);
    await store.commit(change(line(2), 1, { alerts: [alert(line(2), 'b1', '2222', { open: false })] }));
    const twice = [whole.outbox[4], whole.outbox[4]].filter((m) => m !== undefined);
    await expect(store.writeLine({ ...whole, outbox: twice })).rejects.toBeInstanceOf(StoreUnavailable);
    expect(await store.readLine(line(1))).toBeUndefined();
    expect(await store.lineIds(9)).toEqual([line(2)]);
    expect(await store.openAlerts(9)).toEqual([]);
    expect(await store.writeLine(whole)).toBe('written');
  });

  it('refuses what could not have been committed', async () => {
    const whole = await lived(await open());
    const store = await open();
    const faults: readonly Partial<WholeLine>[] = [
      { version: 0 },
      { nextDueAt: -1 },
      { journal: whole.journal.slice(1) },
      { replies: [{ inbound: 2 ** 48, reply: '', keptAt: t0 }] },
      {
        outbox: [
          {
            ...message(line(2), 'm'),
            ...{ state: 'waiting', attempts: 0, carrierId: null, why: null },
            mayHaveBeenSent: false,
            leaseUntil: 0,
            settledAt: null,
          },
        ],
      },
      { alerts: [alert(line(2), 'a', '1')] },
    ];
    for (const fault of faults)
      await expect(store.writeLine({ ...whole, ...fault })).rejects.toThrow(RangeError);
    expect(await store.lineIds(9)).toEqual([]);
  });
};
