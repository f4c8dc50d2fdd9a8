import { readFileSync } from 'node:fs';
import { createClient, RESP_TYPES } from 'redis';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import type { LineId } from '../../src/dialog/line.ts';
import { ConfigError } from '../../src/errors.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { openSealer } from '../../src/store/sealing.ts';
import type { Store, WholeLine } from '../../src/store/store.ts';
import { type RedisServer, startRedis, whyNoRedis } from '../contract/redis-server.ts';

/** What an earlier build left under layout 2: each key as `DUMP` gave it, and the lines as that build read them. */
const { keys, lines } = JSON.parse(
  readFileSync(new URL('./redis-layout-2.json', import.meta.url), 'utf8'),
) as { readonly keys: Readonly<Record<string, string>>; readonly lines: readonly WholeLine[] };
/** When it was left. */
const then = Date.UTC(2026, 10, 24, 9);
const one = 'line-one' as LineId;
const two = 'line-two' as LineId;

describe.skipIf(whyNoRedis() !== undefined)('data of an earlier layout', () => {
  let server: RedisServer;
  let client: ReturnType<typeof createClient>;
  const stores: Store[] = [];

  beforeAll(async () => {
    server = await startRedis('always');
    client = createClient({ url: server.url });
    await client.connect();
    for (const [key, dump] of Object.entries(keys))
      await client.sendCommand(['RESTORE', key, '0', Buffer.from(dump, 'base64'), 'REPLACE']);
  });
  afterEach(async () => {
    vi.useRealTimers();
    await Promise.all(stores.splice(0).map((store) => store.close()));
  });
  afterAll(async () => {
    client.destroy();
    await server.stop();
  });

  async function open(shards = 2): Promise<Store> {
    vi.useFakeTimers({ toFake: ['Date'], now: then + 60_000 });
    const store = await openRedisStore({
      ...{ url: server.url, prefix: 'layout-2', shards, restMs: 30 },
      sealer: openSealer([{ id: 'of-layout-2', key: Buffer.alloc(32, 9) }]),
    });
    stores.push(store);
    return store;
  }
  const kindsIn = async (lineId: LineId): Promise<readonly number[]> => {
    const list = (await client.sendCommand(['LRANGE', `layout-2:{0}:l:${lineId}`, '0', '-1'], {
      typeMapping: { [RESP_TYPES.BLOB_STRING]: Buffer },
    })) as unknown as readonly Buffer[];
    return list.map((element) => element[0] ?? -1);
  };

  it('is refused when it was spread otherwise, and stays as it was', async () => {
    await expect(open(3)).rejects.toThrow(/Set the same number of shards/);
    expect(await client.get('layout-2:{layout}')).toBe('layout 2, shards 2');
  });

  it('is refused when it is older still, or newer, with a word on how to move it', async () => {
    for (const other of ['layout 1, shards 2', 'layout 4, shards 2']) {
      await client.set('layout-2:{layout}', other);
      await expect(open()).rejects.toThrow(ConfigError);
      await expect(open()).rejects.toThrow(/has layout [14], shards 2; .*eightfeeds move/);
      expect(await client.get('layout-2:{layout}')).toBe(other);
    }
    await client.set('layout-2:{layout}', 'layout 2, shards 2');
  });

  it('is read as it lies, a line at rest and one that is awake', async () => {
    const store = await open();
    expect(await kindsIn(one)).toEqual([0, 2]);
    expect(await kindsIn(two)).toEqual([0, 2, 1]);
    expect([await store.readLine(one), await store.readLine(two)]).toEqual(lines);
    expect((await store.load(one))?.state).toBe(lines[0]?.state);
    expect(await store.replyTo('SM01', one)).toBe('reply 1 of line-one');
    expect(await store.message('line-one.1.0')).toMatchObject({ state: 'sent' });
    expect((await store.openAlerts(9)).map(({ code }) => code)).toEqual(['4710', '4711']);
    expect(await store.takeDueLines(then + 3_600_000, 9, 1_000)).toEqual([one]);
    expect(await client.get('layout-2:{layout}')).toBe('layout 3, shards 2');
  });

  it('becomes as lines now are when they next come to rest, with nothing lost', async () => {
    const store = await open();
    const [was] = lines;
    const state = '{"schema":1,"turns":4}';
    const raised = {
      alertId: 'line-one.3',
      lineId: one,
      code: '4712',
      tier: 'A',
      raisedAt: then,
      open: true,
    } as const;
    const entry = { at: then + 20_000, kind: 'text-in', body: '{"body":"0"}' };
    await store.commit({
      ...{ lineId: one, expectedVersion: 3, inboundId: 'SM09', reply: 'new', state, nextDueAt: null },
      ...{ journal: [entry], outbox: [], alerts: [...(was?.alerts ?? []), raised] },
    });
    await expect.poll(() => kindsIn(one)).toEqual([0, 4]);
    const is = await store.readLine(one);
    expect(is).toMatchObject({ version: 4, state, nextDueAt: null });
    expect(is?.journal).toEqual([...(was?.journal ?? []), { seq: 7, ...entry }]);
    expect(is?.outbox).toEqual(was?.outbox);
    expect(is?.alerts).toEqual([...(was?.alerts ?? []), raised]);
    expect(is?.replies.map(({ reply }) => reply)).toEqual([
      ...(was?.replies ?? []).map(({ reply }) => reply),
      'new',
    ]);
  });
});
