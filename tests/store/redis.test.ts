import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { AlertCodeTaken, ConfigError, StoreUnavailable } from '../../src/errors.ts';
import { openRedisStore, type RedisOptions } from '../../src/store/redis/redis-store.ts';
import type { Store } from '../../src/store/store.ts';
import { type RedisServer, run, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { alert, change, line, message, newSealer, t0 } from '../contract/sample-changes.ts';

const missing = whyNoRedis();
const hour = 3_600_000;

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
    vi.useRealTimers();
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

  describe('a line at rest', () => {
    const elements = () => cli('llen', `${prefix()}:{0}:l:${line(1)}`);
    const entry = (n: number, body: string) => ({ at: t0 + n * 1_000, kind: 'said', body });

    it('is packed with all it has, and goes on from there', async () => {
      const store = await open({ shards: 1, restMs: 30 });
      const bodyOf = (n: number) => `{"words":"We ask again tomorrow.","n":${n}}`;
      for (let n = 0; n < 20; n++)
        await store.commit(
          change(line(1), n, { inboundId: `SM${n}`, reply: `reply ${n}`, journal: [entry(n, bodyOf(n))] }),
        );
      await store.commit(change(line(1), 20, { outbox: [message(line(1), 'm1'), message(line(1), 'm2')] }));
      const [first] = await store.takeOutbox(t0, 1, 60_000);
      await store.settleMessage('m1', first?.leaseToken ?? '', { kind: 'sent', carrierId: 'SM', at: t0 });
      const whole = await store.readLine(line(1));
      // The head, and one pack.
      await expect.poll(elements).toBe('2');
      expect(await store.readLine(line(1))).toEqual(whole);
      expect(await store.load(line(1))).toEqual({ version: 21, state: whole?.state });
      expect(await store.message('m1')).toMatchObject({ state: 'sent', body: 'Words of m1' });
      expect(await store.message('m2')).toMatchObject({ state: 'waiting' });
      expect(await store.journal(line(1), 2, 10)).toEqual(whole?.journal.slice(10, 12));
      expect(await store.commit(change(line(1), 3, { inboundId: 'SM7' }))).toEqual({
        kind: 'repeated',
        reply: 'reply 7',
      });
      await expect(store.commit(change(line(1), 21, { outbox: [message(line(1), 'm1')] }))).rejects.toThrow(
        StoreUnavailable,
      );
      await store.commit(change(line(1), 21, { inboundId: 'SM20', journal: [entry(20, bodyOf(20))] }));
      await expect.poll(elements).toBe('2');
      expect((await store.journal(line(1), 99)).map(({ body }) => body)).toEqual(
        Array.from({ length: 21 }, (_, n) => bodyOf(n)),
      );
    });

    it('takes a fifth of the room', async () => {
      const bytes = async () =>
        Number(await cli('memory', 'usage', `${prefix()}:{0}:l:${line(1)}`, 'samples', '0'));
      const store = await open({ shards: 1, restMs: 500 });
      const words = 'Wet nappies are fine. Go on like this: empty one breast, then offer the other.';
      for (let n = 0; n < 40; n++)
        await store.commit(change(line(1), n, { journal: [entry(n, JSON.stringify({ words, n }))] }));
      const awake = await bytes();
      await expect.poll(elements).toBe('2');
      expect(await bytes()).toBeLessThan(awake / 5);
    });

    it('begins a new pack when one is full, and reads across them', async () => {
      const store = await open({ shards: 1, restMs: 30 });
      const bodyOf = (n: number) => JSON.stringify({ n, words: 'the same words again '.repeat(40) });
      for (let n = 0; n < 45; n++)
        await store.commit(
          change(line(1), n, { inboundId: `SM${n}`, reply: `reply ${n}`, journal: [entry(n, bodyOf(n))] }),
        );
      // Some 38 entries of 860 characters fill a pack.
      await expect.poll(elements).toBe('3');
      for (let n = 45; n < 90; n++)
        await store.commit(change(line(1), n, { journal: [entry(n, bodyOf(n))] }));
      await expect.poll(elements).toBe('4');
      expect(await store.journal(line(1), 1_000)).toEqual(
        Array.from({ length: 90 }, (_, n) => ({ seq: n + 1, ...entry(n, bodyOf(n)) })),
      );
      expect(await store.journal(line(1), 3, 36)).toMatchObject([{ seq: 37 }, { seq: 38 }, { seq: 39 }]);
      for (const n of [0, 37, 38, 44]) expect(await store.replyTo(`SM${n}`, line(1))).toBe(`reply ${n}`);
    });

    it('forgets replies after two days and settled messages after three, when it is packed or asked', async () => {
      vi.useFakeTimers({ toFake: ['Date'], now: t0 });
      const store = await open({ shards: 1, restMs: 30 });
      await store.commit(change(line(1), 0, { inboundId: 'SM1', outbox: [message(line(1), 'm1')] }));
      const [taken] = await store.takeOutbox(t0, 1, 60_000);
      await store.settleMessage('m1', taken?.leaseToken ?? '', { kind: 'sent', carrierId: 'SM', at: t0 });
      await expect.poll(elements).toBe('2');
      vi.setSystemTime(t0 + 47 * hour);
      expect(await store.replyTo('SM1', line(1))).toBe('Thank you.');
      vi.setSystemTime(t0 + 49 * hour);
      expect(await store.replyTo('SM1', line(1))).toBeUndefined();
      expect(await store.commit(change(line(1), 1, { inboundId: 'SM1' }))).toMatchObject({
        kind: 'committed',
      });
      expect(await store.message('m1')).toMatchObject({ state: 'sent' });
      vi.setSystemTime(t0 + 73 * hour);
      expect(await store.message('m1')).toBeUndefined();
      expect((await store.readLine(line(1)))?.outbox).toEqual([]);
    });
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

  it('knows the alerts of a line whether their ids begin with its own or not', async () => {
    const store = await open({ shards: 1 });
    const ids = [`${line(1)}.3`, `${line(1)}.12`, `${line(2)}.3`, 'a1', '.4', '=5', `${line(1)}`];
    const alerts = ids.map((id, n) =>
      alert(line(1), id, `${n}`, { tier: 'B', raisedAt: t0 + n, open: n < 4 }),
    );
    await store.commit(change(line(1), 0, { alerts: alerts.slice(0, 3) }));
    await store.commit(change(line(1), 1, { alerts }));
    const whole = await store.readLine(line(1));
    expect(whole?.alerts).toEqual(alerts.toSorted((a, b) => (a.alertId < b.alertId ? -1 : 1)));
    expect(await store.openAlerts(9)).toEqual(alerts.slice(0, 4));
    expect(await store.alertByCode('6')).toEqual(alerts[6]);
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
