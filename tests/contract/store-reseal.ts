import { expect, it } from 'vitest';
import { openSealer } from '../../src/store/sealing.ts';
import type { Store, WholeLine } from '../../src/store/store.ts';
import { fill } from '../cli/move-lines-made.ts';
import { change, line, message, newKey, phoneOf, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

const minute = 60_000;

/** One pass over all lines; how many lines it looked at, and how many values an older key had sealed. */
async function pass(
  store: Store,
  limit: number,
): Promise<{ readonly lines: number; readonly values: number }> {
  let [lines, values] = [0, 0];
  let after: string | undefined;
  do {
    const step = await store.reseal(limit, after);
    expect(step.lines).toBeLessThanOrEqual(limit);
    lines += step.lines;
    values += step.values;
    after = step.after;
  } while (after !== undefined);
  return { lines, values };
}

async function everything(store: Store): Promise<ReadonlyMap<string, WholeLine | undefined>> {
  const ids = await store.lineIds(1_000);
  return new Map(await Promise.all(ids.map(async (id) => [id, await store.readLine(id)] as const)));
}

export const resealContract: ContractPart = (place) => {
  const { newPlace, at } = ownStore(place);

  it('seals everything anew, so that the old key can be taken away', async () => {
    const where = await newPlace();
    const [older, newer] = [newKey('2025'), newKey('2026')];
    const before = await at(where, openSealer([older]));
    await fill(before, 40, Date.now());
    await before.commit(
      change(line(1), 0, { inboundId: 'SM1', reply: 'the first reply', outbox: [message(line(1), 'm1')] }),
    );
    const [taken] = await before.takeOutbox(t0, 1, minute);
    await before.settleMessage(taken?.id ?? '', taken?.leaseToken ?? '', {
      kind: 'gave-up',
      at: t0,
      why: 'refused',
    });
    const was = await everything(before);
    await before.close();

    const rotated = await at(where, openSealer([newer, older]));
    const first = await pass(rotated, 7);
    expect(first.lines).toBe(41);
    // At least one value of each line, and the messages.
    expect(first.values).toBeGreaterThanOrEqual(82);
    expect(await pass(rotated, 7)).toEqual({ lines: 41, values: 0 });
    expect(await everything(rotated)).toEqual(was);
    await rotated.close();

    const after = await at(where, openSealer([newer]));
    expect(await everything(after)).toEqual(was);
    expect(await after.replyTo('SM1', line(1))).toBe('the first reply');
    expect(await after.commit(change(line(1), 1))).toEqual({ kind: 'committed', version: 2 });
  });

  it('needs the old key while anything is still sealed by it', async () => {
    const where = await newPlace();
    const [older, newer] = [newKey('2025'), newKey('2026')];
    const before = await at(where, openSealer([older]));
    await fill(before, 10, Date.now());
    await before.close();
    const half = await at(where, openSealer([newer, older]));
    const { after } = await half.reseal(5);
    await half.close();

    const ids = await (await at(where, openSealer([newer]))).lineIds(10);
    const without = await at(where, openSealer([newer]));
    const read = await Promise.allSettled(ids.map((id) => without.readLine(id)));
    expect(read.filter((r) => r.status === 'fulfilled')).toHaveLength(5);
    await expect(without.reseal(10, after)).rejects.toThrow(/key "2025", which is not set/);

    // Another process goes on where this one ended.
    const rest = await at(where, openSealer([newer, older]));
    expect(await rest.reseal(10, after)).toMatchObject({ lines: 5 });
    expect((await pass(rest, 10)).values).toBe(0);
  });

  it('loses nothing that is written at the same time', async () => {
    const where = await newPlace();
    const [older, newer] = [newKey('2025'), newKey('2026')];
    const old = await at(where, openSealer([older]));
    for (let n = 0; n < 10; n++)
      await old.commit(change(line(n), 0, { outbox: [message(line(n), `m${n}-0`)] }));
    await old.close();
    const store = await at(where, openSealer([newer, older]));
    // Started before the rotation was: it still seals by the old key.
    const other = await at(where, openSealer([older, newer]));
    const last = 25;
    const writing = Promise.all(
      Array.from({ length: 10 }, async (_, n) => {
        for (let version = 1; version < last; version++) {
          const journal = [{ at: t0, kind: 'said', body: `"${version}"` }];
          const outbox = [message(line(n), `m${n}-${version}`)];
          await other.commit(change(line(n), version, { journal, outbox }));
        }
      }),
    );
    let isOn = true;
    void writing.finally(() => (isOn = false));
    while (isOn) await pass(store, 3);
    await writing;
    // While it runs it also packs lines at rest, by the key it has.
    await other.close();
    await pass(store, 3);
    expect((await pass(store, 3)).values).toBe(0);
    await store.close();

    const after = await at(where, openSealer([newer]));
    for (let n = 0; n < 10; n++) {
      const whole = await after.readLine(line(n));
      expect(whole?.version).toBe(last);
      expect(whole?.journal.map((entry) => entry.body)).toEqual(
        Array.from({ length: last - 1 }, (_, i) => `"${i + 1}"`),
      );
      expect(whole?.outbox).toHaveLength(last);
    }
  });

  it('lets go of messages that only waited because receivers could not be told apart', async () => {
    const where = await newPlace();
    const [older, newer] = [newKey('2025'), newKey('2026')];
    const to = (id: string, receiver: string, notBefore: number) =>
      message(line(1), id, { receiver, notBefore });
    const before = await at(where, openSealer([older]));
    await before.commit(change(line(1), 0, { outbox: [to('late', phoneOf(1), t0 + 60 * minute)] }));
    await before.close();

    const store = await at(where, openSealer([newer, older]));
    await store.commit(
      change(line(1), 1, { outbox: [to('same', phoneOf(1), t0), to('other', phoneOf(2), t0)] }),
    );
    expect(await store.takeOutbox(t0, 10, minute)).toEqual([]);
    await pass(store, 10);
    const free = await store.takeOutbox(t0, 10, minute);
    expect(free.map((m) => m.id)).toEqual(['other']);
    const sent = { kind: 'sent', carrierId: 'SM1', at: t0 } as const;
    for (const m of free) await store.settleMessage(m.id, m.leaseToken, sent);
    // To the same receiver the order still holds.
    const later = await store.takeOutbox(t0 + 61 * minute, 10, minute);
    expect(later.map((m) => m.id)).toEqual(['late']);
  });
};
