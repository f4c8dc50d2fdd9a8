import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createClient } from 'redis';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { command as reseal } from '../../src/cli/reseal.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../src/store/store.ts';
import { type RedisServer, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { change, line, t0 } from '../contract/sample-changes.ts';
import { fill, madeLine } from './move-lines-made.ts';
import { runCommand } from './run-command.ts';

const older = `key-of-last-year:${Buffer.alloc(32, 3).toString('base64')}`;
const newer = `key-of-this-year:${Buffer.alloc(32, 4).toString('base64')}`;
const now = Date.now();
const lines = 60;

interface StoreUnderTest {
  readonly env: Readonly<Record<string, string>>;
  open(keys: string): Promise<Store> | Store;
  /** All that is on disk once nothing old needs to be there. */
  bytes(): Promise<Buffer>;
  close(): Promise<void>;
}

function sqlite(): StoreUnderTest {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-reseal-'));
  return {
    env: { DATA_DIR: folder },
    open: (keys) =>
      openSqliteStore({ file: join(folder, 'eightfeeds.db'), sealer: openSealer(readSealingKeys(keys)) }),
    bytes: async () => Buffer.concat(readdirSync(folder).map((name) => readFileSync(join(folder, name)))),
    close: async () => rmSync(folder, { recursive: true, force: true }),
  };
}

async function redis(): Promise<StoreUnderTest> {
  const server: RedisServer = await startRedis('always');
  return {
    env: { STORE: 'redis', REDIS_URL: server.url },
    open: (keys) => openRedisStore({ url: server.url, sealer: openSealer(readSealingKeys(keys)) }),
    async bytes() {
      const client = createClient({ url: server.url });
      await client.connect();
      await client.sendCommand(['BGREWRITEAOF']);
      await vi.waitFor(
        async () => {
          const info = await client.info('persistence');
          expect(info).toMatch(/aof_rewrite_in_progress:0/);
          expect(info).toMatch(/aof_rewrite_scheduled:0/);
        },
        { timeout: 10_000 },
      );
      client.destroy();
      return server.bytesOnDisk();
    },
    close: () => server.stop(),
  };
}

const kinds = [
  { name: 'the embedded store', start: sqlite, isLeftOut: false },
  { name: 'Redis', start: redis, isLeftOut: whyNoRedis() !== undefined },
] as const;

for (const { name, start, isLeftOut } of kinds)
  describe.skipIf(isLeftOut)(`eightfeeds reseal on ${name}`, () => {
    let under: StoreUnderTest;
    beforeEach(async () => {
      under = await start();
    });
    afterEach(() => under.close());
    const run = (keys: string, args: readonly string[] = []) =>
      runCommand(reseal, args, { ...under.env, SEALING_KEYS: keys });

    test('beside a line at work: afterwards all opens without the old key, and the disk has nothing sealed by it', async () => {
      const before = await under.open(older);
      await fill(before, lines, now);
      await before.commit(change(line(1), 0, { state: '{"told":"private words"}' }));
      await before.close();
      expect((await under.bytes()).includes('key-of-last-year')).toBe(true);

      const atWork = await under.open(`${newer},${older}`);
      let isOn = true;
      let version = 1;
      const working = (async () => {
        while (isOn) {
          const journal = [{ at: t0, kind: 'said', body: `"${version}"` }];
          await atWork.commit(change(line(1), version++, { state: '{"told":"private words"}', journal }));
        }
      })();
      const ran = await run(`${newer},${older}`);
      isOn = false;
      await working;
      await atWork.close();
      expect([ran.code, ran.out]).toEqual([
        0,
        expect.stringMatching(
          /^pass 1: 61 lines, \d+ values sealed anew\n.*pass \d: 61 lines, 0 values sealed anew\nEverything is sealed by key "key-of-this-year"\.\n$/s,
        ),
      ]);
      expect(ran.err).toContain('"key-of-last-year" can be taken out of SEALING_KEYS');

      const after = await under.open(newer);
      for (let n = 0; n < lines; n++) {
        const { lineId, state, journal } = madeLine(n, now);
        expect(await after.readLine(lineId)).toMatchObject({ state, journal });
      }
      expect(await after.load(line(1))).toMatchObject({ version, state: '{"told":"private words"}' });
      expect(await after.journal(line(1), 10_000)).toHaveLength(version - 1);
      await after.close();
      if (name === 'the embedded store')
        expect(await run(`${newer},${older}`, ['--clean'])).toMatchObject({ code: 0 });
      const bytes = await under.bytes();
      expect(bytes.includes('key-of-this-year')).toBe(true);
      for (const secret of ['key-of-last-year', 'private words', '447700900', 'Message 2 to', 'दूध', 'Name 7'])
        expect(bytes.includes(secret), secret).toBe(false);
    });

    test('says so when a process still seals by the old key, and ends with 1', async () => {
      const atWork = await under.open(`${older},${newer}`);
      await fill(atWork, 40, now);
      let isOn = true;
      const working = Promise.all(
        Array.from({ length: 40 }, async (_, n) => {
          const { lineId, version } = madeLine(n, now);
          for (let v = version; isOn; v++) await atWork.commit(change(lineId, v));
        }),
      );
      const ran = await run(`${newer},${older}`);
      isOn = false;
      await working;
      await atWork.close();
      expect(ran.code).toBe(1);
      expect(ran.err).toContain('a process runs whose SEALING_KEYS does not begin with "key-of-this-year"');
    });

    test('cleans no file that is in use, and none of Redis', async () => {
      const atWork = await under.open(older);
      await fill(atWork, 5, now);
      await expect(run(`${newer},${older}`, ['--clean'])).rejects.toThrow(/in use|for the embedded store/);
      expect((await run(older, ['--all'])).code).toBe(2);
      await atWork.close();
    });

    test('with nothing to do it does nothing', async () => {
      const store = await under.open(newer);
      await fill(store, 5, now);
      await store.close();
      const ran = await run(newer);
      expect(ran).toMatchObject({ code: 0, err: '' });
      expect(ran.out).toBe(
        'pass 1: 5 lines, 0 values sealed anew\nEverything is sealed by key "key-of-this-year".\n',
      );
    });
  });
