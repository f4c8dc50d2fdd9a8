import { clusterSettings, type RedisServer, run, startRedis } from '../contract/redis-server.ts';
import { type SilentProxy, silentProxy } from './silent-proxy.ts';

/** Three masters and a replica of the first, each behind a way that can go silent; appendfsync always, as in production. */
export interface FleetCluster {
  /** Addresses through the proxies, for the processes under test. */
  readonly urls: readonly string[];
  /** Addresses past the proxies, for whoever looks afterwards. */
  readonly straight: readonly string[];
  silence(): void;
  speak(): void;
  /** The replica takes over from the first master, in order: nothing that was acknowledged may be lost by it. */
  failOver(): Promise<void>;
  stop(): Promise<void>;
}

const cli = async (port: number, ...args: readonly string[]) =>
  (await run('redis-cli', ['-p', String(port), ...args])).stdout.trim();

async function until(what: string, holds: () => Promise<boolean>): Promise<void> {
  const end = Date.now() + 60_000;
  while (!(await holds().catch(() => false))) {
    if (Date.now() > end) throw new Error(`The cluster did not come to this in a minute: ${what}.`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

export async function fleetCluster(): Promise<FleetCluster> {
  const proxies: SilentProxy[] = [];
  const servers: RedisServer[] = [];
  for (let i = 0; i < 4; i++) {
    const proxy = await silentProxy(() => servers[i]?.port ?? 0);
    proxies.push(proxy);
    // Clients are told the proxy's port; the servers talk to one another past it, over the bus.
    const settings = [...(await clusterSettings()), '--cluster-announce-port', String(proxy.port)];
    servers.push(await startRedis('always', settings));
  }
  const port = (i: number) => servers[i]?.port ?? 0;
  for (let i = 0; i < 3; i++) {
    const from = Math.floor((16_384 * i) / 3);
    const to = Math.floor((16_384 * (i + 1)) / 3) - 1;
    await cli(port(i), 'cluster', 'addslotsrange', String(from), String(to));
    await cli(port(i), 'cluster', 'set-config-epoch', String(i + 1));
  }
  const busOf = async (i: number) =>
    /@(\d+)/.exec(
      (await cli(port(i), 'cluster', 'nodes')).split('\n').find((row) => row.includes('myself')) ?? '',
    )?.[1] ?? '';
  for (const i of [1, 2, 3])
    await cli(port(0), 'cluster', 'meet', '127.0.0.1', String(port(i)), await busOf(i));
  await until('all masters know of one another', async () =>
    (await cli(port(0), 'cluster', 'info')).includes('cluster_state:ok'),
  );
  const first = await cli(port(0), 'cluster', 'myid');
  await until(
    'the replica knows its master',
    async () => (await cli(port(3), 'cluster', 'replicate', first)) === 'OK',
  );
  await until('the replica follows', async () =>
    (await cli(port(3), 'info', 'replication')).includes('master_link_status:up'),
  );
  return {
    urls: proxies.slice(0, 3).map((proxy) => `redis://127.0.0.1:${proxy.port}`),
    straight: [0, 1, 2].map((i) => `redis://127.0.0.1:${port(i)}`),
    silence: () => {
      for (const proxy of proxies) proxy.silence();
    },
    speak: () => {
      for (const proxy of proxies) proxy.speak();
    },
    failOver: async () => {
      await until('the replica follows again', async () =>
        (await cli(port(3), 'info', 'replication')).includes('master_link_status:up'),
      );
      await cli(port(3), 'cluster', 'failover');
      await until('the replica is master', async () =>
        (await cli(port(3), 'info', 'replication')).includes('role:master'),
      );
    },
    stop: async () => {
      await Promise.all(proxies.map((proxy) => proxy.close()));
      await Promise.all(servers.map((server) => server.stop()));
    },
  };
}
