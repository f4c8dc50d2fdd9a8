import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { AlertCodeTaken, ConfigError, StoreUnavailable } from '../../src/errors.ts';
import { openRedisStore, type RedisOptions } from '../../src/store/redis/redis-store.ts';
import type { Store } from '../../src/store/store.ts';
import { type RedisServer, run, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { alert, change, line, message, newSealer, t0 } from '../contract/sample-changes.ts';

const missing = whyNoRedis();

describe.skipIf(missing !== undefined)('the Redis store', () => {
  let server: RedisServer;
  const stores: Store[] = [];
  const sealer = newSealer();
  let count = 0;

  beforeAll(async () => {
    server = await startRedis('always');
  });
  afterAll(async () => {
    await server.stop();
  });
  afterEach(async () => {
    await Promise.all(stores.splice(0).map((store) => store.close()));
  });

  async function open(rest: Partial<RedisOptions> = {}): Promise<Store> {
    const options = { url: server.url, sealer, prefix: `t-${++count}`, ...rest } as RedisOptions;
    const store = await openRedisStore(options);
    stores.push(store);
    return store;
  }
  const cli = async (...args: readonly string[]) =>
    (await run('redis-cli', ['-p', String(server.port), ...args])).stdout.trim();
  const prefix = () => `t-${count}`;

  it('uses no command that walks the key space', async () => {
    const store = await open();
    await cli('config', 'resetstat');
    await store.commit(
      change(line(1), 0, {
        inboundId: 'SM1',
        nextDueAt: t0,
        outbox: [message(line(1), 'm1')],
        alerts: [alert(line(1), 'a1', '1')],
      }),
    );
    await Promise.all([
      store.load(line(1)),
      store.takeDueLines(t0, 9, 9),
      store.takeOutbox(t0, 9, 9),
      store.message('m1'),
    ]);
    await Promise.all([
      store.alertByCode('1'),
      store.openAlerts(9),
      store.journal(line(1), 9),
      store.lineIds(9),
      store.backlog(t0),
    ]);
    const used = (await cli('info', 'commandstats')).match(/cmdstat_\w+/g) ?? [];
    expect(used).toContain('cmdstat_evalsha');
    for (const walking of ['keys', 'scan', 'hscan', 'sscan', 'zscan', 'randomkey'])
      expect(used).not.toContain(`cmdstat_${walking}`);
  });

  it('spreads lines over its shards, all keys of one line in one', async () => {
    const store = await open({ shards: 8 });
    for (let n = 0; n < 80; n++)
      await store.commit(
        change(line(n), 0, { inboundId: 'SM', nextDueAt: t0, journal: [{ at: t0, kind: 'k', body: '{}' }] }),
      );
    const keys = (await cli('keys', `${prefix()}:*`)).split('\n');
    const tagOf = (key: string) => /\{(\d+)\}/.exec(key)?.[1];
    expect(new Set(keys.flatMap((key) => tagOf(key) ?? [])).size).toBe(8);
    for (let n = 0; n < 80; n++)
      expect(new Set(keys.filter((key) => key.includes(line(n))).map(tagOf)).size).toBe(1);
  });

  it('refuses data that was spread over another number of shards', async () => {
    await open({ shards: 8 });
    await expect(openRedisStore({ url: server.url, sealer, prefix: prefix(), shards: 9 })).rejects.toThrow(
      ConfigError,
    );
    await expect(openRedisStore({ url: server.url, sealer, shards: 0 })).rejects.toThrow(ConfigError);
    await expect(openRedisStore({ url: server.url, sealer, prefix: '{x}' })).rejects.toThrow(ConfigError);
  });

  it('folds a long journal and keeps every entry at its place', async () => {
    const store = await open({ shards: 1 });
    for (let n = 0; n < 100; n++) {
      const entries = Array.from({ length: n % 3 }, (_, i) => ({
        at: t0 + n,
        kind: 'check-in',
        body: `{"turn":${n},"entry":${i}}`,
      }));
      await store.commit(change(line(1), n, { journal: entries }));
    }
    const all = await store.journal(line(1), 1_000);
    expect(all.map(({ seq }) => seq)).toEqual(Array.from({ length: 99 }, (_, n) => n + 1));
    expect(all.map(({ body }) => body)).toEqual(
      Array.from({ length: 100 }, (_, n) =>
        Array.from({ length: n % 3 }, (_, i) => `{"turn":${n},"entry":${i}}`),
      ).flat(),
    );
    expect(await store.journal(line(1), 10, 57)).toEqual(all.slice(57, 67));
    // 66 turns wrote to the journal: eight folds of 8 into one element, and two loose ones.
    await expect.poll(() => cli('llen', `${prefix()}:{0}:j:${line(1)}`)).toBe('3');
  });

  it('begins a new element when one is full, and reads across them', async () => {
    const store = await open({ shards: 1 });
    const body = (n: number) => JSON.stringify({ n, words: 'the same words again '.repeat(40) });
    for (let n = 0; n < 70; n++)
      await store.commit(change(line(1), n, { journal: [{ at: t0 + n, kind: 'said', body: body(n) }] }));
    const all = await store.journal(line(1), 1_000);
    expect(all).toEqual(
      Array.from({ length: 70 }, (_, n) => ({ seq: n + 1, at: t0 + n, kind: 'said', body: body(n) })),
    );
    // 32 turns of some 860 characters fill an element: two full ones and six loose.
    await expect.poll(() => cli('llen', `${prefix()}:{0}:j:${line(1)}`)).toBe('8');
  });

  describe('a claim on an alert code that was never used', () => {
    const abandoned = async (ageMs: number) => {
      const claim = JSON.stringify(['a9', line(9), 'token', Date.now() - ageMs]);
      await cli('hset', `${prefix()}:{codes}:claims`, '4711', claim);
    };

    it('holds the code while its commit may be under way', async () => {
      const store = await open();
      await abandoned(5_000);
      await expect(
        store.commit(change(line(1), 0, { alerts: [alert(line(1), 'a1', '4711')] })),
      ).rejects.toThrow(AlertCodeTaken);
    });

    it('is cleared away when it is old', async () => {
      const store = await open();
      await abandoned(31_000);
      await store.commit(change(line(1), 0, { alerts: [alert(line(1), 'a1', '4711')] }));
      expect((await store.alertByCode('4711'))?.lineId).toBe(line(1));
    });

    it('holds however old it is when its alert is open', async () => {
      const store = await open();
      await store.commit(change(line(9), 0, { alerts: [alert(line(9), 'a9', '4711')] }));
      await abandoned(9_000_000);
      await expect(
        store.commit(change(line(1), 0, { alerts: [alert(line(1), 'a1', '4711')] })),
      ).rejects.toThrow(AlertCodeTaken);
    });

    it('is not left behind by a commit that comes too late for its version', async () => {
      const store = await open();
      await store.commit(change(line(1), 0));
      const two = [1, 1].map((version, n) =>
        store.commit(change(line(1), version, { alerts: [alert(line(1), `a${n}`, `${n}`)] })),
      );
      const lost = (await Promise.allSettled(two)).findIndex((s) => s.status === 'rejected');
      expect(lost).toBeGreaterThanOrEqual(0);
      expect(await cli('hexists', `${prefix()}:{codes}:claims`, String(lost))).toBe('0');
    });
  });

  it('finds an open alert even if the server lost the claim on its code', async () => {
    const store = await open();
    const raised = alert(line(1), 'a1', '4711');
    await store.commit(change(line(1), 0, { alerts: [raised] }));
    await cli('del', `${prefix()}:{codes}:claims`);
    expect(await store.alertByCode('4711')).toEqual(raised);
  });

  it('says at once that nobody answers when there is no server', async () => {
    await expect(
      openRedisStore({ url: 'redis://127.0.0.1:1', sealer, times: { connectMs: 300 } }),
    ).rejects.toThrow(StoreUnavailable);
  });
});

describe.skipIf(missing !== undefined)('the Redis store, when the server', () => {
  const sealer = newSealer();
  const times = { commandMs: 400, connectMs: 1_000 };
  const until = async (done: () => Promise<unknown>) => {
    for (const start = performance.now(); performance.now() - start < 15_000; ) {
      try {
        return await done();
      } catch (error) {
        if (!(error instanceof StoreUnavailable)) throw error;
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
    }
    throw new Error('The store did not come back within 15 s.');
  };

  it('goes silent, fails fast and comes back by itself with everything it acknowledged', async () => {
    const server = await startRedis('always');
    const store = await openRedisStore({ url: server.url, sealer, times });
    try {
      await store.commit(change(line(1), 0, { state: 'kept' }));
      server.process.kill('SIGSTOP');
      const start = performance.now();
      await expect(store.load(line(1))).rejects.toThrow(StoreUnavailable);
      expect(performance.now() - start).toBeLessThan(times.commandMs + 400);
      // From now on nobody waits, except the one call in a while that tries again.
      const waits = [];
      for (let n = 0; n < 50; n++) {
        const from = performance.now();
        await expect(store.commit(change(line(1), 1))).rejects.toThrow(StoreUnavailable);
        waits.push(performance.now() - from);
      }
      expect(waits.filter((ms) => ms < 100).length).toBeGreaterThan(40);
      server.process.kill('SIGCONT');
      const kept = (await until(() => store.load(line(1)))) as Awaited<ReturnType<Store['load']>>;
      // What was refused may have been kept after all, as the port says; its version tells.
      expect(kept).toSatisfy(
        (line: typeof kept) => line?.version === 2 || (line?.version === 1 && line.state === 'kept'),
      );
      expect(await store.commit(change(line(1), kept?.version ?? 0, { state: 'after' }))).toMatchObject({
        kind: 'committed',
      });
    } finally {
      server.process.kill('SIGCONT');
      await store.close();
      await server.stop();
    }
  });

  it('is killed under load and started again, has lost nothing that it acknowledged', async () => {
    let server = await startRedis('always');
    const { folder, port } = server;
    const store = await openRedisStore({ url: server.url, sealer, times });
    try {
      const acknowledged = new Map<number, number>();
      let stop = false;
      const load = Array.from({ length: 20 }, async (_, n) => {
        for (let version = 0; !stop; version++) {
          try {
            await store.commit(
              change(line(n), version, {
                inboundId: `SM${n}-${version}`,
                journal: [{ at: t0, kind: 'k', body: String(version) }],
              }),
            );
            acknowledged.set(n, version + 1);
          } catch (error) {
            if (error instanceof StoreUnavailable) return;
            throw error;
          }
        }
      });
      await new Promise((resolve) => setTimeout(resolve, 500));
      server.process.kill('SIGKILL');
      await Promise.all(load);
      stop = true;
      server = await startRedis('always', ['--dir', folder, '--port', String(port)]);
      for (const [n, version] of acknowledged) {
        const kept = (await until(() => store.load(line(n)))) as Awaited<ReturnType<Store['load']>>;
        expect(kept?.version).toBeGreaterThanOrEqual(version);
        // One more than was acknowledged may have been on its way.
        expect(kept?.version).toBeLessThanOrEqual(version + 1);
        expect(await store.journal(line(n), 10_000)).toHaveLength(kept?.version ?? -1);
      }
      expect(acknowledged.size).toBe(20);
    } finally {
      await store.close();
      await server.stop();
    }
  });
});
