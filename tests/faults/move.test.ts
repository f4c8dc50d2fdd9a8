import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { setTimeout as wait } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { createClient } from 'redis';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { LineId } from '../../src/dialog/line.ts';
import { contentHash } from '../../src/store/content-hash.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../src/store/store.ts';
import { fill } from '../cli/move-lines-made.ts';
import { type RedisServer, startRedis, whyNoRedis } from '../contract/redis-server.ts';

/** `MOVE_LINES=100000` tries a whole programme; it takes some minutes. */
const lines = Number(process.env['MOVE_LINES'] ?? 3_000);
const timeout = 120_000 + lines * 10;
const root = fileURLToPath(new URL('../../', import.meta.url));
const keys = `k1:${Buffer.alloc(32, 3).toString('base64')}`;
const sealer = openSealer(readSealingKeys(keys));

let folder: string;
let redis: RedisServer;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'eightfeeds-move-'));
  redis = await startRedis('always');
});
afterEach(async () => {
  await redis.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** One move as a process of its own. */
function startMove(from: string, to: string) {
  const child = spawn(process.execPath, ['dist/cli/eightfeeds.js', 'move', '--from', from, '--to', to], {
    cwd: root,
    env: { PATH: process.env['PATH'] ?? '', SEALING_KEYS: keys },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let out = '';
  let err = '';
  child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
  const ended = new Promise<{ code: number | null; out: string; err: string }>((resolve) =>
    child.once('close', (code) => resolve({ code, out, err })),
  );
  return { kill: () => child.kill('SIGKILL'), ended };
}

/** How many lines have arrived, without a look through our own code. */
async function arrived(to: string): Promise<number> {
  if (!to.startsWith('redis:')) {
    try {
      const db = new Database(to, { readonly: true, fileMustExist: true });
      try {
        return Number(db.prepare('SELECT count(*) FROM line').pluck().get());
      } finally {
        db.close();
      }
    } catch {
      return 0; // Not made yet.
    }
  }
  const client = createClient({ url: to });
  await client.connect();
  try {
    let count = 0;
    for await (const found of client.scanIterator({ MATCH: 'eightfeeds:{*}:l:*', COUNT: 10_000 }))
      count += found.length;
    return count;
  } finally {
    client.destroy();
  }
}

const openAt = async (place: string): Promise<Store> =>
  place.startsWith('redis:')
    ? openRedisStore({ url: place, sealer })
    : openSqliteStore({ file: place, sealer });

test.skipIf(whyNoRedis() !== undefined).each([
  ['from the embedded store to Redis', () => [join(folder, 'from.db'), redis.url] as const],
  ['from Redis to the embedded store', () => [redis.url, join(folder, 'to.db')] as const],
])(
  'a move %s that is killed half-way goes on when it is begun again, and every line is verified',
  { timeout },
  async (name, places) => {
    const [from, to] = places();
    const source = await openAt(from);
    const now = Date.now();
    const ids = await fill(source, lines, now);
    await source.close();

    const first = startMove(from, to);
    let there = 0;
    while (there < lines / 3) {
      there = await arrived(to);
      await wait(20);
    }
    first.kill();
    expect((await first.ended).code).toBeNull();
    there = await arrived(to);
    expect(there).toBeLessThan(lines);

    const startedAt = performance.now();
    const second = await startMove(from, to).ended;
    const resumed = performance.now() - startedAt;
    expect([second.code, second.err]).toEqual([0, expect.stringContaining('The source is as it was')]);
    expect(second.out).toMatch(
      new RegExp(`^${lines} lines moved and verified, ${there} of them by an earlier start`),
    );

    const again = await startMove(from, to).ended;
    expect(again.out).toContain(`${lines} of them by an earlier start`);
    await compare(from, to, ids, now);
    console.info(
      `${name}: ${lines} lines, ${there} there when killed, the rest and the verifying took ${(resumed / 1000).toFixed(1)} s`,
    );
  },
);

/** Of many lines, some: what the move itself verified is looked at by other code. */
async function compare(from: string, to: string, ids: readonly LineId[], now: number): Promise<void> {
  const [one, other] = await Promise.all([openAt(from), openAt(to)]);
  const step = Math.max(1, Math.floor(ids.length / 3_000));
  for (let i = 0; i < ids.length; i += step) {
    const [a, b] = await Promise.all([one.readLine(ids[i] as LineId), other.readLine(ids[i] as LineId)]);
    expect(a).toBeDefined();
    expect(b).toEqual(a);
    expect(b && contentHash(b, now)).toBe(a && contentHash(a, now));
  }
  await Promise.all([one.close(), other.close()]);
}
