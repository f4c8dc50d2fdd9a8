import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { command as move } from '../../src/cli/move.ts';
import { contentHash } from '../../src/store/content-hash.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../src/store/store.ts';
import { type RedisServer, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { change } from '../contract/sample-changes.ts';
import { fill, madeLine } from './move-lines-made.ts';
import { runCommand } from './run-command.ts';

const keys = `k1:${Buffer.alloc(32, 3).toString('base64')}`;
const sealer = openSealer(readSealingKeys(keys));
const now = Date.now();
const lines = 200;

let folder: string;
let redis: RedisServer;
const env = { SEALING_KEYS: keys };
const isLeftOut = whyNoRedis() !== undefined;
beforeAll(async () => {
  if (!isLeftOut) redis = await startRedis('always');
});
afterAll(() => redis?.stop());
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'eightfeeds-move-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const file = (name: string) => join(folder, name);
/** A database of its own on the server for each test. */
let nextDatabase = 0;
const newRedis = () => `${redis.url}/${nextDatabase++}`;
const openAt = (place: string): Promise<Store> | Store =>
  place.startsWith('redis:')
    ? openRedisStore({ url: place, sealer })
    : openSqliteStore({ file: place, sealer });

async function using<T>(place: string, work: (store: Store) => Promise<T>): Promise<T> {
  const store = await openAt(place);
  try {
    return await work(store);
  } finally {
    await store.close();
  }
}

/** Everything in a store, by line. */
const everything = (place: string) =>
  using(place, async (store) => {
    const ids = await store.lineIds(10_000);
    const whole = await Promise.all(ids.map((id) => store.readLine(id)));
    return new Map(whole.flatMap((line) => (line === undefined ? [] : [[line.lineId, line] as const])));
  });

const moveTo = (from: string, to: string) => runCommand(move, ['--from', from, '--to', to], env);

describe.skipIf(isLeftOut)('eightfeeds move', () => {
  test('there and back again everything is as it was, and both ways tell the same sum', async () => {
    const [first, middle, last] = [file('first.db'), newRedis(), file('last.db')];
    await using(first, (store) => fill(store, lines, now));
    const there = await moveTo(first, middle);
    const back = await moveTo(middle, last);
    expect(there).toMatchObject({ code: 0 });
    expect(there.out).toMatch(/^200 lines moved and verified; sha256 [0-9a-f]{64}\n$/);
    expect(back.out).toBe(there.out);
    const [before, between, after] = await Promise.all([first, middle, last].map(everything));
    expect(before?.size).toBe(lines);
    expect(after).toEqual(before);
    expect(between).toEqual(before);
    // What was put in is what is there: not only the same on all sides.
    for (const n of [0, 1, 36, 50, 199]) {
      const made = madeLine(n, now);
      const found = after?.get(made.lineId);
      expect(found && contentHash(found, now)).toBe(contentHash(made, now));
    }
  });

  test('a line goes on where it was: due times, waiting messages, open alerts and repeated texts', async () => {
    const [from, to] = [file('from.db'), newRedis()];
    const lineId = madeLine(1, now).lineId;
    await using(from, async (store) => {
      await store.commit(
        change(lineId, 0, { inboundId: 'SM1', reply: 'the first reply', nextDueAt: now - 1000 }),
      );
      const made = madeLine(2, now).outbox[0];
      if (made === undefined) throw new Error('The second line has messages.');
      const message = { ...made, id: `${lineId}.1.0`, lineId, notBefore: now - 500 };
      const alert = {
        alertId: `${lineId}.1`,
        lineId,
        code: '7351',
        tier: 'A',
        raisedAt: now,
        open: true,
      } as const;
      await store.commit(change(lineId, 1, { nextDueAt: now - 1000, outbox: [message], alerts: [alert] }));
    });
    expect((await moveTo(from, to)).code).toBe(0);
    await using(to, async (store) => {
      expect(await store.replyTo('SM1', lineId)).toBe('the first reply');
      expect(await store.commit(change(lineId, 0, { inboundId: 'SM1' }))).toEqual({
        kind: 'repeated',
        reply: 'the first reply',
      });
      expect(await store.takeDueLines(now, 10, 1000)).toEqual([lineId]);
      expect(await store.takeOutbox(now, 10, 1000)).toMatchObject([
        { id: `${lineId}.1.0`, to: expect.any(String) },
      ]);
      expect(await store.alertByCode('7351')).toMatchObject({ lineId, open: true });
      expect(await store.commit(change(lineId, 2))).toEqual({ kind: 'committed', version: 3 });
    });
  });

  test('begun again it verifies what is there, and goes on', async () => {
    const [from, to] = [file('from.db'), newRedis()];
    await using(from, (store) => fill(store, lines, now));
    await using(to, (store) => fill(store, 120, now));
    const ran = await moveTo(from, to);
    expect(ran).toMatchObject({ code: 0 });
    expect(ran.out).toContain('200 lines moved and verified, 120 of them by an earlier start');
    expect((await everything(to)).size).toBe(lines);
  });

  test('a target with lines of its own is refused before anything is written', async () => {
    const [from, to] = [newRedis(), file('to.db')];
    await using(from, (store) => fill(store, 10, now));
    await using(to, (store) => store.commit(change(madeLine(99, now).lineId, 0)));
    await expect(moveTo(from, to)).rejects.toThrow(/1 lines that are not in the source/);
    expect((await everything(to)).size).toBe(1);
  });

  test('a line that is there with other content is told, and neither is touched', async () => {
    const [from, to] = [file('from.db'), newRedis()];
    const { lineId } = madeLine(3, now);
    await using(from, (store) => fill(store, 10, now));
    await using(to, (store) => store.commit(change(lineId, 0, { state: '{"other":true}' })));
    await expect(moveTo(from, to)).rejects.toThrow(
      new RegExp(`${lineId} is in the target with other content`),
    );
    expect((await everything(to)).get(lineId)?.state).toBe('{"other":true}');
  });

  test('a store in use is not moved, and a source is never made', async () => {
    const from = file('from.db');
    await using(from, async (store) => {
      await fill(store, 5, now);
      await expect(moveTo(from, newRedis())).rejects.toThrow(/is in use/);
    });
    await expect(moveTo(file('nowhere.db'), newRedis())).rejects.toThrow(/no store at/);
    expect(readdirSync(folder)).not.toContain('nowhere.db');
    for (const args of [[], ['--from', from], ['--from', from, '--to', from], ['--to', 'x', '--about', 'y']])
      expect((await runCommand(move, args, env)).code).toBe(2);
  });

  test('places can be named as they are set, so that no password stands on the command line', async () => {
    const settings = { ...env, DATA_DIR: folder, REDIS_URL: newRedis() };
    await using(file('eightfeeds.db'), (store) => fill(store, 5, now));
    const ran = await runCommand(move, ['--from', 'sqlite', '--to', 'redis'], settings);
    expect(ran.out).toContain('5 lines moved');
    expect((await everything(settings.REDIS_URL)).size).toBe(5);
  });
});
