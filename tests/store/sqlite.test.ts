import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { StaleState, StoreUnavailable } from '../../src/errors.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../src/store/store.ts';
import { alert, change, line, message, newSealer, t0 } from '../contract/sample-changes.ts';

const hour = 3_600_000;

describe('the SQLite store', () => {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-store-'));
  let files = 0;
  const newFile = () => join(folder, `${++files}.db`);
  const stores: Store[] = [];
  const sealer = newSealer();
  const at = (file: string) => {
    const store = openSqliteStore({ file, sealer });
    stores.push(store);
    return store;
  };
  afterEach(async () => {
    vi.useRealTimers();
    await Promise.all(stores.splice(0).map((store) => store.close()));
    for (let n = 1; n <= files; n++)
      for (const end of ['', '-wal', '-shm']) rmSync(join(folder, `${n}.db${end}`), { force: true });
  });

  it('keeps a write-ahead log, so that readers never wait for writers', () => {
    const file = newFile();
    at(file);
    const db = new Database(file);
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    db.close();
  });

  it('lets two processes share a file: one of two commits on a version wins', async () => {
    const file = newFile();
    const [one, other] = [at(file), at(file)];
    await one.commit(change(line(1), 0));
    for (let version = 1; version <= 20; version++) {
      const settled = await Promise.allSettled([
        one.commit(change(line(1), version, { state: 'one' })),
        other.commit(change(line(1), version, { state: 'other' })),
      ]);
      expect(settled.map((s) => s.status).sort()).toEqual(['fulfilled', 'rejected']);
      for (const s of settled) if (s.status === 'rejected') expect(s.reason).toBeInstanceOf(StaleState);
    }
    expect((await other.load(line(1)))?.version).toBe(21);
  });

  it('keeps nothing while the disk refuses, says so to each caller, and goes on afterwards', async () => {
    const file = newFile();
    const store = at(file);
    await store.commit(change(line(1), 0));
    // Another program holds the write lock for longer than the store waits.
    const hog = new Database(file);
    hog.exec('BEGIN IMMEDIATE');
    const settled = await Promise.allSettled([
      store.commit(change(line(1), 1)),
      store.takeDueLines(t0, 1, 1),
    ]);
    for (const s of settled)
      expect(s).toMatchObject({ status: 'rejected', reason: expect.any(StoreUnavailable) });
    expect((await store.load(line(1)))?.version).toBe(1);
    hog.exec('ROLLBACK');
    hog.close();
    expect(await store.commit(change(line(1), 1))).toEqual({ kind: 'committed', version: 2 });
  });

  it('refuses a file that a newer program wrote, and one that it cannot open, and says what to do', () => {
    const file = newFile();
    const db = new Database(file);
    db.pragma('user_version = 99');
    db.close();
    expect(() => openSqliteStore({ file, sealer })).toThrow(/has schema 99.*Run the newer Eightfeeds/);
    expect(() => openSqliteStore({ file: join(folder, 'no', 'such', 'folder.db'), sealer })).toThrow(
      StoreUnavailable,
    );
  });

  it('forgets replies and settled messages of long ago while it goes on', async () => {
    vi.useFakeTimers({ toFake: ['Date'], now: t0 });
    const file = newFile();
    const store = at(file);
    for (let n = 0; n < 10; n++) await store.commit(change(line(1), n, { inboundId: `SM${n}` }));
    await store.commit(change(line(2), 0, { outbox: [message(line(2), 'm1')] }));
    const [taken] = await store.takeOutbox(t0, 1, 1);
    await store.settleMessage('m1', taken?.leaseToken ?? '', { kind: 'sent', carrierId: 'SM', at: t0 });
    vi.setSystemTime(t0 + 47 * hour);
    expect(await store.replyTo('SM0', line(1))).toBe('Thank you.');
    expect(await store.commit(change(line(1), 10, { inboundId: 'SM0' }))).toMatchObject({ kind: 'repeated' });
    await store.commit(change(line(1), 10, { inboundId: 'SM10' }));
    vi.setSystemTime(t0 + 49 * hour);
    for (const known of [store, at(file)]) {
      expect(await known.replyTo('SM9', line(1))).toBeUndefined();
      expect(await known.replyTo('SM10', line(1))).toBe('Thank you.');
    }
    expect(await store.commit(change(line(1), 11, { inboundId: 'SM0' }))).toMatchObject({
      kind: 'committed',
    });
    expect(await store.message('m1')).toMatchObject({ state: 'sent' });
    vi.setSystemTime(t0 + 73 * hour);
    for (let n = 1; n <= 100; n++) await store.commit(change(line(2), n));
    expect(await store.message('m1')).toBeUndefined();
  });

  it('opened by the one that works on it, frees at once what a former one held when it died', async () => {
    const file = newFile();
    const dead = at(file);
    await dead.commit(change(line(1), 0, { nextDueAt: t0, outbox: [message(line(1), 'm1')] }));
    expect(await dead.takeOutbox(t0, 1, hour)).toHaveLength(1);
    expect(await dead.takeDueLines(t0, 1, hour)).toEqual([line(1)]);
    const beside = at(file);
    expect(await beside.takeOutbox(t0, 1, hour)).toEqual([]);
    expect(await beside.takeDueLines(t0, 1, hour)).toEqual([]);
    const next = openSqliteStore({ file, sealer, alone: true });
    expect(await next.takeOutbox(t0, 1, hour)).toMatchObject([{ id: 'm1', mayHaveBeenSent: true }]);
    expect(await next.takeDueLines(t0, 1, hour)).toEqual([line(1)]);
    await next.close();
  });

  it('gives the same state, not a copy, until the line changes', async () => {
    const store = at(newFile());
    const state = JSON.stringify({ words: 'x'.repeat(1_000) });
    await store.commit(change(line(1), 0, { state }));
    const first = await store.load(line(1));
    expect(await store.load(line(1))).toBe(first);
    await store.commit(change(line(1), 1));
    expect((await store.load(line(1)))?.version).toBe(2);
  });

  it('sees at once what another process wrote: state, journal, replies and alerts', async () => {
    const file = newFile();
    const [one, other] = [at(file), at(file)];
    const entry = { at: t0, kind: 'k', body: '{}' };
    await one.commit(change(line(1), 0, { inboundId: 'SM1', journal: [entry] }));
    await one.load(line(1));
    const raised = alert(line(1), 'a1', '4711');
    await other.commit(
      change(line(1), 1, {
        inboundId: 'SM2',
        reply: 'two',
        state: 'two',
        journal: [entry],
        alerts: [raised],
      }),
    );
    expect(await one.load(line(1))).toEqual({ version: 2, state: 'two' });
    expect((await one.journal(line(1), 10)).map(({ seq }) => seq)).toEqual([1, 2]);
    expect(await one.commit(change(line(1), 1, { inboundId: 'SM2' }))).toEqual({
      kind: 'repeated',
      reply: 'two',
    });
    await one.commit(change(line(1), 2, { alerts: [{ ...raised, open: false }] }));
    await other.commit(change(line(1), 3, { alerts: [raised] }));
    expect(await one.openAlerts(9)).toEqual([raised]);
  });

  it('finds out while it commits that another process was first, with nothing written', async () => {
    const file = newFile();
    const [one, other] = [at(file), at(file)];
    const entry = { at: t0, kind: 'k', body: '{}' };
    await one.commit(change(line(1), 0, { inboundId: 'SM1', journal: [entry] }));
    await other.commit(change(line(1), 1, { inboundId: 'SM2', reply: 'two', journal: [entry] }));
    const late = change(line(1), 1, { inboundId: 'SM3', journal: [entry], outbox: [message(line(1), 'm1')] });
    await expect(one.commit(late)).rejects.toBeInstanceOf(StaleState);
    expect((await one.journal(line(1), 10)).map(({ seq }) => seq)).toEqual([1, 2]);
    expect(await one.takeOutbox(t0, 9, hour)).toEqual([]);
    await other.commit(change(line(1), 2, { inboundId: 'SM4', reply: 'four' }));
    const again = await one.commit(change(line(1), 2, { inboundId: 'SM4' }));
    expect(again).toEqual({ kind: 'repeated', reply: 'four' });
    expect(await one.commit({ ...late, expectedVersion: 3 })).toEqual({ kind: 'committed', version: 4 });
    expect((await one.journal(line(1), 10)).map(({ seq }) => seq)).toEqual([1, 2, 3]);
  });

  it('brings a file of the first schema up to date and loses nothing of it', async () => {
    vi.useFakeTimers({ toFake: ['Date'], now: t0 });
    const file = newFile();
    firstSchemaFile(file);
    const store = at(file);
    const days = (n: number) => t0 - n * 24 * hour;
    expect(await store.load(line(1))).toEqual({ version: 120, state: '{"turns":120}' });
    expect(await store.load(line(2))).toEqual({ version: 1, state: '{"turns":1}' });
    expect(await store.journal(line(1), 1_000)).toEqual(
      Array.from({ length: 120 }, (_, n) => ({
        seq: n + 1,
        at: days(120 - n),
        kind: 'k',
        body: `{"n":${n}}`,
      })),
    );
    expect(await store.takeDueLines(t0, 9, 9)).toEqual([line(1)]);
    expect((await store.journal(line(1), 2, 60)).map(({ seq }) => seq)).toEqual([61, 62]);
    expect(await store.replyTo('SM yesterday', line(1))).toBe('yesterday');
    expect(await store.replyTo('SM of long ago', line(1))).toBeUndefined();
    expect(await store.commit(change(line(1), 120, { inboundId: 'SM yesterday' }))).toEqual({
      kind: 'repeated',
      reply: 'yesterday',
    });
    await store.commit(change(line(1), 120, { journal: [{ at: t0, kind: 'new', body: '{}' }] }));
    expect((await store.journal(line(1), 9, 119)).map(({ seq, kind }) => [seq, kind])).toEqual([
      [120, 'k'],
      [121, 'new'],
    ]);
    expect(await store.takeOutbox(t0, 9, 9)).toMatchObject([{ id: 'm1', body: 'Words of m1' }]);
    expect(await store.alertByCode('4711')).toEqual(alert(line(2), 'a1', '4711'));
    await store.close();
    expect(await at(file).load(line(1))).toMatchObject({ version: 121 });
  });

  it('leaves a file of the first schema as it was when a key is missing', async () => {
    const file = newFile();
    firstSchemaFile(file);
    expect(() => openSqliteStore({ file, sealer: newSealer() })).toThrow(StoreUnavailable);
    expect(await at(file).load(line(1))).toMatchObject({ version: 120 });
  });

  /** As the program of that time wrote it: each journal entry and each reply sealed for itself. */
  function firstSchemaFile(file: string): void {
    const db = new Database(file);
    db.exec(readFileSync(new URL('schema-1.sql', import.meta.url), 'utf8'));
    const addLine = db.prepare('INSERT INTO line VALUES (?, ?, ?, ?, ?, 0, ?)');
    const seal = (text: string, record: string, field: string) => sealer.seal(text, record, field);
    addLine.run(1, line(1), 120, 120, t0, seal('{"turns":120}', line(1), 'state'));
    addLine.run(2, line(2), 1, 0, null, seal('{"turns":1}', line(2), 'state'));
    const addEntry = db.prepare('INSERT INTO journal VALUES (1, ?, ?, ?, ?)');
    for (let n = 0; n < 120; n++)
      addEntry.run(n + 1, t0 - (120 - n) * 24 * hour, 'k', seal(`{"n":${n}}`, line(1), 'journal'));
    const addReply = db.prepare('INSERT INTO inbound VALUES (1, ?, ?, ?)');
    addReply.run('SM of long ago', t0 - 49 * hour, seal('long ago', 'SM of long ago', 'reply'));
    addReply.run('SM yesterday', t0 - 24 * hour, seal('yesterday', 'SM yesterday', 'reply'));
    db.prepare(`INSERT INTO alert VALUES ('a1', 2, '4711', 'A', ?, 1)`).run(t0);
    const { to, body, receiver } = message(line(1), 'm1');
    db.prepare(
      `INSERT INTO outbox (id, no, channel, sealed, receiver_mark, language, purpose, priority, not_before)
       VALUES ('m1', 1, 'text', ?, ?, 'en', 'check-in', 4, ?)`,
    ).run(seal(JSON.stringify([to, body, receiver]), 'm1', 'message'), sealer.mark(receiver, line(1)), t0);
    db.close();
  }
});
