import { expect, it } from 'vitest';
import { StoreUnavailable } from '../../src/errors.ts';
import { openSealer } from '../../src/store/sealing.ts';
import { alert, change, line, message, newKey, newSealer, phoneOf, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

const minute = 60_000;
const words = 'my baby is hot and does not feed';

/** A change with something of hers in every field that is sealed. */
const telling = (n: number, expectedVersion = 0) =>
  change(line(n), expectedVersion, {
    inboundId: `SM${n}-${expectedVersion}`,
    reply: `reply: ${words}`,
    state: JSON.stringify({ phone: phoneOf(n), words }),
    nextDueAt: t0 + n,
    journal: [{ at: t0, kind: 'text', body: JSON.stringify({ words }) }],
    outbox: [
      message(line(n), `m${n}-${expectedVersion}`, {
        to: phoneOf(n),
        receiver: phoneOf(n),
        body: `outbox: ${words}`,
      }),
    ],
    alerts: [alert(line(n), `a${n}`, String(4000 + n))],
  });

export const durabilityContract: ContractPart = (place) => {
  const { newPlace, at } = ownStore(place);

  it('still has everything after it was closed and opened', async () => {
    const where = await newPlace();
    const sealer = newSealer();
    const before = await at(where, sealer);
    for (let n = 1; n <= 20; n++) await before.commit(telling(n));
    const [held] = await before.takeOutbox(t0, 1, minute);
    await before.takeDueLines(t0 + 1, 1, minute);
    await before.close();
    await before.close();

    const after = await at(where, sealer);
    for (let n = 1; n <= 20; n++) {
      expect(await after.load(line(n))).toEqual({ version: 1, state: telling(n).state });
      expect(await after.commit(telling(n))).toEqual({ kind: 'repeated', reply: `reply: ${words}` });
      expect(await after.journal(line(n), 10)).toEqual([{ ...telling(n).journal[0], seq: 1 }]);
      expect((await after.alertByCode(String(4000 + n)))?.lineId).toBe(line(n));
    }
    expect(await after.lineIds(100)).toHaveLength(20);
    expect((await after.takeOutbox(t0, 100, minute)).map((m) => m.id)).not.toContain(held?.id);
    expect(await after.takeDueLines(t0 + 2, 10, minute)).toEqual([line(2)]);
    expect(
      await after.settleMessage(held?.id ?? '', held?.leaseToken ?? '', {
        kind: 'sent',
        carrierId: 'SM',
        at: t0,
      }),
    ).toBe(true);
  });

  it('refuses every call once it is closed', async () => {
    const store = await at(await newPlace(), newSealer());
    await store.close();
    const calls = [
      store.load(line(1)),
      store.commit(change(line(1), 0)),
      store.replyTo('SM1', line(1)),
      store.takeDueLines(t0, 1, 1),
      store.takeOutbox(t0, 1, 1),
      store.settleMessage('m', 't', { kind: 'gave-up', at: t0, why: '' }),
      store.message('m'),
      store.alertByCode('1'),
      store.openAlerts(1),
      store.journal(line(1), 1),
      store.lineIds(1),
      store.backlog(t0),
      store.readLine(line(1)),
      store.reseal(1),
      store.writeLine({
        lineId: line(1),
        version: 1,
        state: '',
        nextDueAt: null,
        journal: [],
        replies: [],
        outbox: [],
        alerts: [],
      }),
    ];
    for (const result of await Promise.allSettled(calls)) {
      expect(result).toMatchObject({ status: 'rejected', reason: expect.any(StoreUnavailable) });
    }
  });

  it('keeps a commit that was under way when it was closed, or refuses it', async () => {
    const where = await newPlace();
    const sealer = newSealer();
    const before = await at(where, sealer);
    const commits = Array.from({ length: 20 }, (_, n) => before.commit(telling(n)));
    const closing = before.close();
    const settled = await Promise.allSettled(commits);
    await closing;
    const after = await at(where, sealer);
    for (const [n, result] of settled.entries()) {
      const kept = await after.load(line(n));
      if (result.status === 'fulfilled') expect(kept?.version).toBe(1);
      else expect(result.reason).toBeInstanceOf(StoreUnavailable);
    }
  });

  it('opens what an older key sealed, and refuses with a sentence when that key is gone', async () => {
    const where = await newPlace();
    const [older, newer] = [newKey('2025'), newKey('2026')];
    const before = await at(where, openSealer([older]));
    await before.commit(telling(1));
    await before.close();

    const rotated = await at(where, openSealer([newer, older]));
    expect(await rotated.load(line(1))).toEqual({ version: 1, state: telling(1).state });
    await rotated.commit(telling(2));
    await rotated.commit(telling(1, 1));
    expect((await rotated.takeOutbox(t0, 10, minute)).map((m) => m.to).sort()).toEqual([
      phoneOf(1),
      phoneOf(2),
    ]);
    await rotated.close();

    const forgetful = await at(where, openSealer([newer]));
    expect((await forgetful.load(line(2)))?.version).toBe(1);
    expect((await forgetful.load(line(1)))?.version).toBe(2);
    await expect(forgetful.journal(line(1), 10)).rejects.toThrow(/key "2025", which is not set/);
    await expect(forgetful.message('m1-0')).rejects.toBeInstanceOf(StoreUnavailable);
  });

  it('tells a thief of its files neither number nor words', async () => {
    const where = await newPlace();
    const store = await at(where, newSealer());
    for (let n = 1; n <= 10; n++) await store.commit(telling(n));
    const [taken] = await store.takeOutbox(t0, 1, minute);
    await store.settleMessage(taken?.id ?? '', taken?.leaseToken ?? '', {
      kind: 'gave-up',
      at: t0,
      why: `no such number ${phoneOf(1)}`,
    });
    const whileOpen = await where.bytesOnDisk();
    await store.close();
    const afterwards = await where.bytesOnDisk();
    for (const bytes of [whileOpen, afterwards]) {
      // The files were found and do hold the lines: their ids and codes are readable.
      expect(bytes.includes(line(1))).toBe(true);
      expect(bytes.includes('4001')).toBe(true);
      for (const secret of [words, 'does not feed', '447700900', '7700900001', 'outbox: ', 'reply: ']) {
        for (const encoding of ['utf8', 'utf16le'] as const)
          expect(bytes.includes(Buffer.from(secret, encoding))).toBe(false);
        expect(bytes.includes(Buffer.from(secret).toString('base64').replace(/=*$/, '').slice(0, -1))).toBe(
          false,
        );
        expect(bytes.includes(Buffer.from(secret).toString('hex'))).toBe(false);
      }
    }
  });
};
