import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { type RedisServer, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { readExposition } from '../stand-in/exposition.ts';
import { type MainProcess, mainProcess } from './main-process.ts';

const isLeftOut = whyNoRedis() !== undefined;
let redis: RedisServer;
let line: MainProcess;
beforeAll(async () => {
  if (isLeftOut) return;
  redis = await startRedis('always');
  line = await mainProcess({ STORE: 'redis', REDIS_URL: redis.url });
});
afterAll(async () => {
  await line?.dispose();
  await redis?.stop();
});

/** The metrics are read from the store at most every five seconds. */
const soon = { timeout: 20_000, interval: 200 };

test.skipIf(isLeftOut)(
  'each process tells its role; only a worker tells that it looks at what is due',
  async () => {
    const web = await mainProcess({ STORE: 'redis', REDIS_URL: redis.url, ROLE: 'web' });
    try {
      const told = async (from: MainProcess) => readExposition(await (await fetch(from.metricsUrl)).text());
      await vi.waitFor(
        async () =>
          expect(
            (await told(line)).value('eightfeeds_worker_last_look_timestamp_seconds', { at: 'due' }),
          ).toBeGreaterThan(0),
        soon,
      );
      const ofWeb = await told(web);
      expect(ofWeb.names).not.toContain('eightfeeds_worker_last_look_timestamp_seconds');
      expect(ofWeb.names).toContain('eightfeeds_outbox_oldest_seconds');
      const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string };
      expect(ofWeb.value('eightfeeds_info', { role: 'web', store: 'redis', version })).toBe(1);
    } finally {
      await web.dispose();
    }
  },
);

const status = async (path: string) => (await fetch(line.url + path)).status;
const storeUp = async () =>
  readExposition(await (await fetch(line.metricsUrl)).text()).value('eightfeeds_store_up', {});

test.skipIf(isLeftOut)(
  'it lives but is not ready while its store is silent, and is ready again afterwards',
  async () => {
    await vi.waitFor(async () => expect(await status('/readyz')).toBe(200), soon);
    expect(await storeUp()).toBe(1);

    redis.process.kill('SIGSTOP');
    await vi.waitFor(async () => expect(await status('/readyz')).toBe(503), soon);
    expect(await status('/healthz')).toBe(200);
    await vi.waitFor(async () => expect(await storeUp()).toBe(0), soon);

    redis.process.kill('SIGCONT');
    await vi.waitFor(async () => expect(await status('/readyz')).toBe(200), soon);
    await vi.waitFor(async () => expect(await storeUp()).toBe(1), soon);
  },
);

test.skipIf(isLeftOut)('its store gone for good, it still ends in order when it is told to', async () => {
  await redis.stop();
  await vi.waitFor(async () => expect(await status('/readyz')).toBe(503), soon);
  line.signal('SIGTERM');
  expect(await line.exited).toBe(0);
});
