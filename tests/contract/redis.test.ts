import { afterAll, beforeAll, describe } from 'vitest';
import { openRedisStore, type RedisOptions } from '../../src/store/redis/redis-store.ts';
import {
  type RedisServer,
  startCluster,
  startClusterWithReplicas,
  startRedis,
  whyNoRedis,
} from './redis-server.ts';
import { storeContract } from './store.ts';

const missing = whyNoRedis();
let count = 0;

/** Each place is a prefix of its own on servers that all the tests share. */
function contractOn(
  name: string,
  start: () => Promise<readonly RedisServer[]>,
  address: (servers: readonly RedisServer[]) => object,
) {
  describe.skipIf(missing !== undefined)(missing === undefined ? name : `${name} (${missing})`, () => {
    let servers: readonly RedisServer[] = [];
    beforeAll(async () => {
      servers = await start();
    });
    afterAll(async () => {
      await Promise.all(servers.map((server) => server.stop()));
    });
    storeContract({
      name,
      place: () => {
        const prefix = `test-${++count}`;
        return Promise.resolve({
          open: (sealer) => openRedisStore({ ...address(servers), prefix, sealer } as RedisOptions),
          bytesOnDisk: async () =>
            Buffer.concat(await Promise.all(servers.map((server) => server.bytesOnDisk()))),
          remove: () => Promise.resolve(),
        });
      },
    });
  });
}

/** Packs each line almost at once, so that everything is tried on packed lines too. */
const packing = (servers: readonly RedisServer[]) => ({ ...one(servers), restMs: 10 });
const one = (servers: readonly RedisServer[]) => ({ url: servers[0]?.url });

contractOn('Redis, appendfsync always', async () => [await startRedis('always')], one);
contractOn('Redis, appendfsync everysec', async () => [await startRedis('everysec')], packing);
contractOn('Redis Cluster of three', startCluster, (servers) => ({ cluster: servers.map(({ url }) => url) }));
contractOn('Redis Cluster whose replicas are waited for', startClusterWithReplicas, (servers) => ({
  cluster: servers.map(({ url }) => url),
  replicas: 1,
}));
