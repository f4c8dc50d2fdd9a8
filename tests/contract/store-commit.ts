import { describe, expect, it } from 'vitest';
import { StaleState, StoreUnavailable } from '../../src/errors.ts';
import { alert, change, line, message, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

export const commitContract: ContractPart = (place) => {
  const { open } = ownStore(place);

  it('knows nothing of a line that was never committed', async () => {
    const store = await open();
    expect(await store.load(line(1))).toBeUndefined();
    expect(await store.replyTo('SM1', line(1))).toBeUndefined();
    expect(await store.message('m1')).toBeUndefined();
    expect(await store.alertByCode('1234')).toBeUndefined();
    expect(await store.journal(line(1), 10)).toEqual([]);
    expect(await store.lineIds(10)).toEqual([]);
  });

  it('gives back what was committed, in any script', async () => {
    const store = await open();
    const state = JSON.stringify({ words: 'दूध कम है 👶🏽 é\u0000"\\', long: 'ம'.repeat(20_000) });
    const first = change(line(1), 0, { inboundId: 'SM1', state, reply: '<b>धन्यवाद</b>' });
    expect(await store.commit(first)).toEqual({ kind: 'committed', version: 1 });
    expect(await store.load(line(1))).toEqual({ version: 1, state });
    expect(await store.replyTo('SM1', line(1))).toBe('<b>धन्यवाद</b>');
    expect(await store.commit(change(line(1), 1, { state: '{"b":2}' }))).toEqual({
      kind: 'committed',
      version: 2,
    });
    expect(await store.load(line(1))).toEqual({ version: 2, state: '{"b":2}' });
  });

  it('keeps the journal in order, without gaps, and pages through it', async () => {
    const store = await open();
    const entry = (n: number) => ({ at: t0 + n, kind: 'check-in', body: `{"n":${n}}` });
    await store.commit(change(line(1), 0, { journal: [entry(1), entry(2)] }));
    await store.commit(change(line(2), 0, { journal: [entry(9)] }));
    await store.commit(change(line(1), 1));
    await store.commit(change(line(1), 2, { journal: [entry(3), entry(4), entry(5)] }));
    const all = await store.journal(line(1), 100);
    expect(all).toEqual([1, 2, 3, 4, 5].map((n) => ({ ...entry(n), seq: n })));
    expect((await store.journal(line(1), 2)).map((e) => e.seq)).toEqual([1, 2]);
    expect((await store.journal(line(1), 2, 3)).map((e) => e.seq)).toEqual([4, 5]);
    expect(await store.journal(line(1), 2, 5)).toEqual([]);
  });

  it('lists line ids in a stable order, page by page, each once', async () => {
    const store = await open();
    const ids = Array.from({ length: 25 }, (_, n) => line(n));
    for (const id of ids) await store.commit(change(id, 0));
    const seen = await allLineIds(store);
    expect([...seen].sort()).toEqual([...ids].sort());
    expect(await allLineIds(store)).toEqual(seen);
  });

  it('refuses a turn that writes two messages of one id', async () => {
    const store = await open();
    const twice = [message(line(1), 'm1'), message(line(1), 'm1', { receiver: 'counsellor-1' })];
    await expect(store.commit(change(line(1), 0, { outbox: twice }))).rejects.toThrow(StoreUnavailable);
    expect(await store.load(line(1))).toBeUndefined();
    expect(await store.message('m1')).toBeUndefined();
  });

  describe('the same inbound id again', () => {
    it('gives the first reply and writes nothing, whatever the version', async () => {
      const store = await open();
      await store.commit(change(line(1), 0, { inboundId: 'SM1', reply: 'first', state: '1' }));
      for (const expectedVersion of [0, 1, 7]) {
        const again = change(line(1), expectedVersion, {
          inboundId: 'SM1',
          reply: 'second',
          state: '2',
          nextDueAt: t0,
          journal: [{ at: t0, kind: 'x', body: '{}' }],
          outbox: [message(line(1), 'm1')],
          alerts: [alert(line(1), 'a1', '1111')],
        });
        expect(await store.commit(again)).toEqual({ kind: 'repeated', reply: 'first' });
      }
      expect(await store.load(line(1))).toEqual({ version: 1, state: '1' });
      expect(await store.journal(line(1), 10)).toEqual([]);
      expect(await store.message('m1')).toBeUndefined();
      expect(await store.openAlerts(10)).toEqual([]);
      expect(await store.takeDueLines(t0 + 1, 10, 1)).toEqual([]);
    });

    it('lets one of twenty at once through and answers all alike', async () => {
      const store = await open();
      const same = (n: number) =>
        store.commit(
          change(line(1), 0, {
            inboundId: 'SM1',
            reply: `reply ${n}`,
            journal: [{ at: n, kind: 'x', body: '{}' }],
          }),
        );
      const outcomes = await Promise.all(Array.from({ length: 20 }, (_, n) => same(n)));
      expect(outcomes.filter((o) => o.kind === 'committed')).toHaveLength(1);
      const reply = await store.replyTo('SM1', line(1));
      for (const o of outcomes) if (o.kind === 'repeated') expect(o.reply).toBe(reply);
      expect(await store.journal(line(1), 10)).toHaveLength(1);
    });
  });

  describe('two turns on one version', () => {
    it('lets the first win and tells the others that they are stale', async () => {
      const store = await open();
      await store.commit(change(line(1), 0));
      const turns = Array.from({ length: 10 }, (_, n) =>
        store.commit(
          change(line(1), 1, {
            inboundId: `SM${n}`,
            state: `"${n}"`,
            journal: [{ at: n, kind: 'x', body: '{}' }],
          }),
        ),
      );
      const settled = await Promise.allSettled(turns);
      const won = settled.flatMap((s, n) => (s.status === 'fulfilled' ? [n] : []));
      expect(won).toHaveLength(1);
      for (const s of settled) if (s.status === 'rejected') expect(s.reason).toBeInstanceOf(StaleState);
      expect(await store.load(line(1))).toEqual({ version: 2, state: `"${won[0]}"` });
      expect(await store.journal(line(1), 10)).toHaveLength(1);
      for (let n = 0; n < 10; n++)
        expect(await store.replyTo(`SM${n}`, line(1))).toBe(won.includes(n) ? 'Thank you.' : undefined);
    });

    it('loses no update when every loser runs again', async () => {
      const store = await open();
      const add = async (): Promise<void> => {
        for (;;) {
          const before = await store.load(line(1));
          const state = String(Number(before?.state ?? '0') + 1);
          try {
            await store.commit(change(line(1), before?.version ?? 0, { state }));
            return;
          } catch (error) {
            if (!(error instanceof StaleState)) throw error;
          }
        }
      };
      await Promise.all(Array.from({ length: 30 }, add));
      expect(await store.load(line(1))).toEqual({ version: 30, state: '30' });
    });

    it('refuses a version that lies ahead, and one for a line not kept', async () => {
      const store = await open();
      await expect(store.commit(change(line(1), 1))).rejects.toBeInstanceOf(StaleState);
      await store.commit(change(line(1), 0));
      await expect(store.commit(change(line(1), 2))).rejects.toBeInstanceOf(StaleState);
      await expect(store.commit(change(line(1), 0))).rejects.toBeInstanceOf(StaleState);
    });
  });

  it('refuses what no store can order, and what belongs to another line', async () => {
    const store = await open();
    const faults = [
      { nextDueAt: Number.NaN },
      { nextDueAt: 1.5 },
      { nextDueAt: -1 },
      { nextDueAt: 2 ** 42 },
      { journal: [{ at: Number.POSITIVE_INFINITY, kind: 'k', body: '{}' }] },
      { outbox: [message(line(1), 'm1', { priority: 10 })] },
      { outbox: [message(line(1), 'm1', { notBefore: 0.1 })] },
      { outbox: [message(line(2), 'm1')] },
      { alerts: [alert(line(2), 'a1', '1')] },
    ];
    for (const fault of faults)
      await expect(store.commit(change(line(1), 0, fault))).rejects.toThrow(RangeError);
    expect(await store.load(line(1))).toBeUndefined();
    const lastPossible = change(line(1), 0, {
      nextDueAt: 2 ** 42 - 1,
      outbox: [message(line(1), 'm1', { notBefore: 2 ** 42 - 1, priority: 9 })],
    });
    expect(await store.commit(lastPossible)).toEqual({ kind: 'committed', version: 1 });
    expect(await store.takeOutbox(2 ** 42 - 2, 9, 1)).toEqual([]);
    expect(await store.takeOutbox(2 ** 42 - 1, 9, 1)).toMatchObject([{ id: 'm1' }]);
    expect(await store.takeDueLines(2 ** 42 - 1, 9, 1)).toEqual([line(1)]);
  });

  describe('a commit that fails half-way', () => {
    // A second message with the id of one that is kept is a fault in the caller, found only while writing.
    it('leaves nothing behind, and harms none of its neighbours', async () => {
      const store = await open();
      await store.commit(change(line(2), 0, { outbox: [message(line(2), 'm1')] }));
      const broken = change(line(2), 1, {
        inboundId: 'SM2',
        nextDueAt: t0,
        journal: [{ at: t0, kind: 'x', body: '{}' }],
        outbox: [message(line(2), 'm2', { receiver: 'counsellor-1' }), message(line(2), 'm1')],
        alerts: [alert(line(2), 'a2', '2222')],
      });
      const settled = await Promise.allSettled([
        store.commit(change(line(3), 0, { inboundId: 'SM3' })),
        store.commit(broken),
        store.commit(change(line(4), 0, { inboundId: 'SM4' })),
        store.commit(change(line(3), 7)),
        store.commit(change(line(4), 0, { inboundId: 'SM4' })),
      ]);
      expect(settled.map((s) => (s.status === 'fulfilled' ? s.value.kind : s.reason.code))).toEqual([
        'committed',
        'store-unavailable',
        'committed',
        'stale-state',
        'repeated',
      ]);
      expect(settled[1]).toMatchObject({ reason: expect.any(StoreUnavailable) });
      expect((await store.load(line(2)))?.version).toBe(1);
      expect(await store.replyTo('SM2', line(2))).toBeUndefined();
      expect(await store.journal(line(2), 10)).toEqual([]);
      expect(await store.message('m2')).toBeUndefined();
      expect(await store.alertByCode('2222')).toBeUndefined();
      expect(await store.takeDueLines(t0, 10, 1)).toEqual([]);
      expect((await store.takeOutbox(t0, 10, 1)).map((m) => m.id)).toEqual(['m1']);
      // Its ids are free again: the turn may be run anew.
      expect(await store.commit({ ...broken, outbox: [message(line(2), 'm2')] })).toEqual({
        kind: 'committed',
        version: 2,
      });
    });
  });
};

async function allLineIds(store: Awaited<ReturnType<ReturnType<typeof ownStore>['open']>>) {
  const seen = [];
  for (;;) {
    const page = await store.lineIds(4, seen.at(-1));
    seen.push(...page);
    if (page.length === 0) return seen;
  }
}
