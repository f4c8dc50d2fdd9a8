import { afterEach, describe, expect, it } from 'vitest';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { whyNoRedis } from '../contract/redis-server.ts';
import { change, line, newSealer } from '../contract/sample-changes.ts';
import { type FleetCluster, fleetCluster } from './fleet-cluster.ts';

const missing = whyNoRedis();
const sealer = newSealer();
const writers = 60;

/** A master dies while its replica is some 400 ms behind it and many write at once: more at a time than mothers do. */
describe.skipIf(missing !== undefined)('a cluster whose first master is killed', () => {
  let cluster: FleetCluster | undefined;
  afterEach(() => cluster?.stop());

  /** How many commits were told to be kept, and which of them nobody has any more. */
  async function killedUnderLoad(
    replicas: number,
  ): Promise<{ readonly told: number; readonly lost: number }> {
    cluster = await fleetCluster();
    const store = await openRedisStore({ cluster: cluster.urls, sealer, replicas });
    const told = new Map<string, string>();
    let isOver = false;
    const writing = Array.from({ length: writers }, async (_, writer) => {
      let version = 0;
      for (let n = 0; !isOver; n++) {
        const inboundId = `SM${writer}.${n}`;
        const next = change(line(writer), version, { inboundId, reply: `"${n}"` });
        // As the carrier does: the same again, until it is told.
        for (let isTold = false; !isTold && !isOver; ) {
          const outcome = await store.commit(next).catch(() => undefined);
          isTold = outcome !== undefined;
          if (outcome === undefined) await new Promise((resolve) => setTimeout(resolve, 20));
          else told.set(inboundId, line(writer));
        }
        version += 1;
      }
    });
    const written = Promise.all(writing);
    await cluster.killMaster();
    isOver = true;
    await written;
    await store.close();
    const reader = await openRedisStore({ cluster: cluster.straight, sealer });
    const lost: string[] = [];
    for (const [inboundId, lineId] of told) {
      const reply = await reader.replyTo(inboundId, lineId as ReturnType<typeof line>);
      if (reply === undefined) lost.push(inboundId);
    }
    await reader.close();
    return { told: told.size, lost: lost.length };
  }

  it('loses nothing that was told to be kept, where one replica is waited for', async () => {
    const { told, lost } = await killedUnderLoad(1);
    expect(told).toBeGreaterThan(writers);
    expect(lost).toBe(0);
  });

  it('loses what its replica had not yet, where none is waited for: so the loss is seen', async () => {
    expect((await killedUnderLoad(0)).lost).toBeGreaterThan(0);
  });
});
