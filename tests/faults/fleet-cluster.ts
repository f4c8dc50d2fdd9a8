import { setTimeout as sleep } from 'node:timers/promises';
import {
  clusterSettings,
  followedSoon,
  type RedisServer,
  run,
  startRedis,
} from '../contract/redis-server.ts';
import { type SilentProxy, silentProxy } from './silent-proxy.ts';

/** Three masters and a replica of each, all behind a way that can go silent; appendfsync always, as in production. */
export interface FleetCluster {
  /** Addresses through the proxies, for the processes under test. */
  readonly urls: readonly string[];
  /** Addresses past the proxies, for whoever looks afterwards. */
  readonly straight: readonly string[];
  silence(): void;
  speak(): void;
  /** The replica takes over from the second master, in order: nothing that was acknowledged may be lost by it. */
  failOver(): Promise<void>;
  /**
   * The first master dies while its replica is behind it by some 400 ms; the others elect the replica, and the dead one
   * comes back as replica of that.
   */
  killMaster(): Promise<void>;
  stop(): Promise<void>;
}

const cli = async (port: number, ...args: readonly string[]) =>
  (await run('redis-cli', ['-p', String(port), ...args])).stdout.trim();

async function until(what: string, holds: () => Promise<boolean>): Promise<void> {
  const end = Date.now() + 60_000;
  while (!(await holds().catch(() => false))) {
    if (Date.now() > end) throw new Error(`The cluster did not come to this in a minute: ${what}.`);
    await sleep(50);
  }
}

const masters = [0, 1, 2] as const;
/** How far behind a replica is when its master dies: a slow network between two machines. */
const lagMs = 400;

export async function fleetCluster(): Promise<FleetCluster> {
  const proxies: SilentProxy[] = [];
  const servers: RedisServer[] = [];
  for (let i = 0; i < 2 * masters.length; i++) {
    const proxy = await silentProxy(() => servers[i]?.port ?? 0);
    proxies.push(proxy);
    // Clients and replicas are told the proxy's port; over the bus the servers talk to one another past it.
    const settings = [...(await clusterSettings()), '--cluster-announce-port', String(proxy.port)];
    servers.push(await startRedis('always', [...settings, ...followedSoon]));
  }
  const port = (i: number) => servers[i]?.port ?? 0;
  for (const i of masters) {
    const from = Math.floor((16_384 * i) / 3);
    const to = Math.floor((16_384 * (i + 1)) / 3) - 1;
    await cli(port(i), 'cluster', 'addslotsrange', String(from), String(to));
    await cli(port(i), 'cluster', 'set-config-epoch', String(i + 1));
  }
  const busOf = async (i: number) =>
    /@(\d+)/.exec(
      (await cli(port(i), 'cluster', 'nodes')).split('\n').find((row) => row.includes('myself')) ?? '',
    )?.[1] ?? '';
  for (let i = 1; i < servers.length; i++)
    await cli(port(0), 'cluster', 'meet', '127.0.0.1', String(port(i)), await busOf(i));
  await until('all masters know of one another', async () =>
    (await cli(port(0), 'cluster', 'info')).includes('cluster_state:ok'),
  );
  /** The replica of a master at the start. */
  const replicaOf = (i: number) => i + masters.length;
  const follows = (i: number) =>
    until(`server ${i} follows`, async () =>
      (await cli(port(i), 'info', 'replication')).includes('master_link_status:up'),
    );
  const leads = (i: number) =>
    until(`server ${i} is master`, async () =>
      (await cli(port(i), 'info', 'replication')).includes('role:master'),
    );
  for (const i of masters) {
    const id = await cli(port(i), 'cluster', 'myid');
    await until(
      'the replica knows its master',
      async () => (await cli(port(replicaOf(i)), 'cluster', 'replicate', id)) === 'OK',
    );
    await follows(replicaOf(i));
  }
  return {
    urls: masters.map((i) => `redis://127.0.0.1:${proxies[i]?.port ?? 0}`),
    straight: masters.map((i) => `redis://127.0.0.1:${port(i)}`),
    silence: () => {
      for (const proxy of proxies) proxy.silence();
    },
    speak: () => {
      for (const proxy of proxies) proxy.speak();
    },
    failOver: async () => {
      await follows(replicaOf(1));
      await cli(port(replicaOf(1)), 'cluster', 'failover');
      await leads(replicaOf(1));
    },
    killMaster: async () => {
      await follows(replicaOf(0));
      proxies[0]?.lagReplicas(lagMs);
      await sleep(5 * lagMs);
      await servers[0]?.kill();
      proxies[0]?.lagReplicas(0);
      await leads(replicaOf(0));
      await servers[0]?.startAgain();
      await follows(0);
    },
    stop: async () => {
      await Promise.all(proxies.map((proxy) => proxy.close()));
      await Promise.all(servers.map((server) => server.stop()));
    },
  };
}
