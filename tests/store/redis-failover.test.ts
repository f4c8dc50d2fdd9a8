import { describe, expect, it } from 'vitest';
import { StoreUnavailable } from '../../src/errors.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { clusterSettings, run, startCluster, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { change, line, newSealer } from '../contract/sample-changes.ts';

const missing = whyNoRedis();
const lineCount = 60;

const cli = async (port: number, ...args: readonly string[]) =>
  (await run('redis-cli', ['-p', String(port), ...args])).stdout.trim();

describe.skipIf(missing !== undefined)('a cluster that loses a master', () => {
  it('goes on in the other shards at once, and in all when the replica takes over', {
    timeout: 60_000,
  }, async () => {
    const masters = await startCluster();
    const [lost] = masters;
    if (!lost) throw new Error('The cluster has no masters.');
    const replica = await startRedis('always', await clusterSettings());
    const store = await openRedisStore({
      cluster: masters.map(({ url }) => url),
      sealer: newSealer(),
      times: { commandMs: 500 },
    });
    try {
      const lostId = await cli(lost.port, 'cluster', 'myid');
      const busPort = /@(\d+)/.exec(
        (await cli(lost.port, 'cluster', 'nodes')).split('\n').find((row) => row.includes('myself')) ?? '',
      )?.[1];
      await cli(replica.port, 'cluster', 'meet', '127.0.0.1', String(lost.port), busPort ?? '');
      await expect
        .poll(() => cli(replica.port, 'cluster', 'replicate', lostId).catch(String), { timeout: 10_000 })
        .toBe('OK');
      for (let n = 0; n < lineCount; n++) await store.commit(change(line(n), 0, { state: `${n}` }));
      await expect
        .poll(() => cli(replica.port, 'info', 'replication'), { timeout: 10_000 })
        .toMatch(/master_link_status:up/);
      expect(await cli(lost.port, 'wait', '1', '5000')).toBe('1');

      lost.process.kill('SIGKILL');
      const reads = await Promise.allSettled(
        Array.from({ length: lineCount }, (_, n) => store.load(line(n))),
      );
      const answered = reads.filter((read) => read.status === 'fulfilled').length;
      // Two of three masters are there.
      expect(answered).toBeGreaterThan(lineCount / 3);
      expect(answered).toBeLessThan(lineCount);
      for (const read of reads)
        if (read.status === 'rejected') expect(read.reason).toBeInstanceOf(StoreUnavailable);

      for (let n = 0; n < lineCount; n++) {
        await expect
          .poll(() => store.load(line(n)).catch(() => 'not yet'), { timeout: 30_000, interval: 50 })
          .toEqual({ version: 1, state: `${n}` });
        expect(await store.commit(change(line(n), 1))).toEqual({ kind: 'committed', version: 2 });
      }
    } finally {
      await store.close();
      await Promise.all([...masters, replica].map((server) => server.stop()));
    }
  });
});
