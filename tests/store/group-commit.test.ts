import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { StoreUnavailable } from '../../src/errors.ts';
import { type GroupCommit, groupCommit } from '../../src/store/sqlite/group-commit.ts';

describe('commits in groups', () => {
  let folder: string;
  let db: Database.Database;
  let group: GroupCommit;
  let syncs: ((error: Error | null) => void)[];
  let undone: number;
  const round = () => new Promise((resolve) => setImmediate(resolve));
  const add = (n: number) =>
    group.run(() => {
      db.prepare('INSERT INTO kept VALUES (?)').run(n);
      return n;
    });
  const kept = () => db.prepare('SELECT n FROM kept ORDER BY n').pluck().all();

  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'eightfeeds-group-'));
    db = new Database(join(folder, 'test.db'));
    db.exec('CREATE TABLE kept (n INTEGER NOT NULL)');
    syncs = [];
    undone = 0;
    const log = {
      sync: (done: (error: Error | null) => void) => void syncs.push(done),
      syncNow: () => undefined,
      close: () => Promise.resolve(),
    };
    group = groupCommit(db, log, { onBegin: () => undefined, onUndone: () => void undone++ });
  });
  afterEach(() => {
    db.close();
    rmSync(folder, { recursive: true });
  });

  it('tells nobody before the disk has it, and gathers the next group meanwhile', async () => {
    const told: number[] = [];
    const first = [1, 2].map(async (n) => told.push(await add(n)));
    await round();
    await round();
    expect(kept()).toEqual([1, 2]);
    expect(syncs).toHaveLength(1);
    const second = [3, 4, 5].map(async (n) => told.push(await add(n)));
    await round();
    await round();
    expect(told).toEqual([]);
    expect(kept()).toEqual([1, 2]);
    syncs.shift()?.(null);
    await Promise.all(first);
    expect(told).toEqual([1, 2]);
    await round();
    expect(kept()).toEqual([1, 2, 3, 4, 5]);
    syncs.shift()?.(null);
    await Promise.all(second);
    expect(told).toEqual([1, 2, 3, 4, 5]);
  });

  it('says after a failed sync, to those who wait and to all who come later, that nothing is sure', async () => {
    const first = add(1).catch((error: unknown) => error);
    await round();
    await round();
    const waiting = add(2).catch((error: unknown) => error);
    syncs.shift()?.(new Error('EIO'));
    for (const told of [first, waiting, add(3).catch((error: unknown) => error)])
      expect(await told).toBeInstanceOf(StoreUnavailable);
    expect(group.failure()).toBeInstanceOf(StoreUnavailable);
    expect(syncs).toEqual([]);
  });

  it('takes back a whole group when a piece breaks, and then runs each by itself', async () => {
    const broken = group.run(() => {
      throw new Error('a fault');
    });
    const settled = Promise.allSettled([add(1), broken, add(2)]);
    await round();
    await round();
    syncs.shift()?.(null);
    expect((await settled).map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect(kept()).toEqual([1, 2]);
    expect(undone).toBe(2);
  });
});
