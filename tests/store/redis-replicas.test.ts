import { setTimeout } from 'node:timers/promises';
import { afterEach, describe, expect, it } from 'vitest';
import { StoreUnavailable } from '../../src/errors.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import type { Store } from '../../src/store/store.ts';
import {
  followedSoon,
  type RedisServer,
  run,
  startRedis,
  startReplica,
  whyNoRedis,
} from '../contract/redis-server.ts';
import { change, line, message, newSealer, t0 } from '../contract/sample-changes.ts';
import { type SilentProxy, silentProxy } from '../faults/silent-proxy.ts';

const missing = whyNoRedis();
const sealer = newSealer();

/** What WAIT promises is read in the Redis documentation of that command; here it is tried on real servers. */
describe.skipIf(missing !== undefined)('a server with a replica', () => {
  const servers: RedisServer[] = [];
  const stores: Store[] = [];
  const ways: SilentProxy[] = [];
  afterEach(async () => {
    await Promise.all(stores.splice(0).map((store) => store.close()));
    await Promise.all(ways.splice(0).map((way) => way.close()));
    await Promise.all(servers.splice(0).map((server) => server.stop()));
  });

  async function started() {
    const master = await startRedis('always', followedSoon);
    const way = await silentProxy(() => master.port);
    ways.push(way);
    const replica = await startReplica(master, way.port);
    servers.push(master, replica);
    const open = async (replicas: number, at = master): Promise<Store> => {
      const store = await openRedisStore({ url: at.url, sealer, replicas, times: { replicasMs: 900 } });
      stores.push(store);
      return store;
    };
    return {
      open,
      calls: async (command: string) => {
        const { stdout } = await run('redis-cli', ['-p', String(master.port), 'info', 'commandstats']);
        return Number(new RegExp(`cmdstat_${command}:calls=(\\d+)`).exec(stdout)?.[1] ?? 0);
      },
      /** The replica is cut off: it has nothing of what comes now. */
      cutOff: () => way.silence(),
      joinAgain: () => way.speak(),
      /** The master dies, and what the replica has is what there is. */
      promoted: async () => {
        master.process.kill('SIGKILL');
        await run('redis-cli', ['-p', String(replica.port), 'replicaof', 'no', 'one']);
        return open(0, replica);
      },
    };
  }

  const turn = (n: number) => change(line(n), 0, { inboundId: `SM${n}`, reply: `"reply ${n}"` });

  it('has every change that was told to be kept, when its master dies at once', {
    timeout: 30_000,
  }, async () => {
    const { open, promoted } = await started();
    const store = await open(1);
    const told = new Set<number>();
    const writers = Array.from({ length: 20 }, async (_, writer) => {
      for (let n = writer; ; n += 20) {
        await store.commit(turn(n));
        told.add(n);
      }
    });
    const isOver = Promise.allSettled(writers);
    await expect.poll(() => told.size, { interval: 1, timeout: 10_000 }).toBeGreaterThan(500);
    const after = await promoted();
    await isOver;
    for (const n of told) expect(await after.replyTo(`SM${n}`, line(n)), String(n)).toBe(`"reply ${n}"`);
  });

  it('lets the outcome be unknown in time when it does not confirm, and gives the first reply when asked again', async () => {
    const { open, cutOff, joinAgain, promoted } = await started();
    const store = await open(1);
    await (await open(0)).commit(turn(1));
    cutOff();
    const since = performance.now();
    await expect(store.commit(turn(2))).rejects.toThrow(/0 of 1 replicas/);
    expect(performance.now() - since).toBeLessThan(2_000);
    // Meanwhile others are not even tried, but what is kept can be read.
    const refused = performance.now();
    await expect(store.commit(turn(3))).rejects.toThrow(StoreUnavailable);
    expect(performance.now() - refused).toBeLessThan(200);
    expect((await store.load(line(1)))?.version).toBe(1);
    // Whether there are enough again is found out without a change of anybody's.
    await setTimeout(300);
    await expect(store.commit(turn(4))).rejects.toThrow(/Too few replicas/);
    expect(await store.load(line(4))).toBeUndefined();
    // Another process that never wrote is not told either that it is kept: the replica still lacks it.
    const other = await open(1);
    await expect(other.commit(turn(2))).rejects.toThrow(/0 of 1 replicas/);
    await expect(other.replyTo('SM2', line(2))).rejects.toThrow(StoreUnavailable);
    joinAgain();
    const again = () => store.commit(turn(2)).catch(() => undefined);
    await expect.poll(again, { timeout: 10_000 }).toEqual({ kind: 'repeated', reply: '"reply 2"' });
    const after = await promoted();
    expect(await after.replyTo('SM2', line(2))).toBe('"reply 2"');
    expect(await after.replyTo('SM3', line(3))).toBeUndefined();
  });

  it('has not what was told without waiting: that is what the setting is for', async () => {
    const { open, cutOff, promoted } = await started();
    const store = await open(0);
    cutOff();
    expect(await store.commit(turn(1))).toEqual({ kind: 'committed', version: 1 });
    expect(await (await promoted()).load(line(1))).toBeUndefined();
  });

  it('hands no message to a worker whose lease it has not', async () => {
    const { open, cutOff, joinAgain } = await started();
    const store = await open(1);
    await (await open(0)).commit({ ...turn(1), outbox: [message(line(1), `${line(1)}.1.0`)] });
    cutOff();
    await expect(store.takeOutbox(t0, 5, 1_000)).rejects.toThrow(StoreUnavailable);
    joinAgain();
    // It was put back, and is known not to have been sent.
    const taken = () => store.takeOutbox(t0, 5, 1_000).catch(() => []);
    await expect
      .poll(async () => (await taken()).map((m) => m.mayHaveBeenSent), { timeout: 10_000 })
      .toEqual([false]);
  });

  it('is asked once for many changes, and never where nothing is waited for', async () => {
    const { open, calls } = await started();
    const ours = await calls('wait');
    const before = await open(0);
    await Promise.all(Array.from({ length: 100 }, (_, n) => before.commit(turn(n))));
    expect(await calls('wait')).toBe(ours);
    const store = await open(1);
    await Promise.all(Array.from({ length: 200 }, (_, n) => store.commit(turn(1_000 + n))));
    expect(await calls('wait')).toBeGreaterThan(ours);
    expect(await calls('wait')).toBeLessThan(ours + 20);
  });
});
