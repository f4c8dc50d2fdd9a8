import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it } from 'vitest';
import { StaleState, StoreUnavailable } from '../../src/errors.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../src/store/store.ts';
import { change, line, newSealer, t0 } from '../contract/sample-changes.ts';

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
    const file = newFile();
    const store = at(file);
    for (let n = 0; n < 10; n++) await store.commit(change(line(1), n, { inboundId: `SM${n}` }));
    const db = new Database(file);
    db.exec(`UPDATE inbound SET kept_at = kept_at - 3 * 86400000 WHERE inbound_id <> 'SM9'`);
    for (let n = 0; n < 100; n++) await store.commit(change(line(2), n, n === 0 ? { inboundId: 'SM' } : {}));
    expect(db.prepare('SELECT inbound_id AS id FROM inbound ORDER BY id').pluck().all()).toEqual([
      'SM',
      'SM9',
    ]);
    db.close();
  });
});
