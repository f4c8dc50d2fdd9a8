import { type ChildProcess, execFile, execFileSync, spawn } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { freePort } from '../stand-in/free-port.ts';

/** A redis-server of our own on loopback, with its files in a folder that goes away with it. */
export interface RedisServer {
  readonly url: string;
  readonly port: number;
  readonly process: ChildProcess;
  readonly folder: string;
  bytesOnDisk(): Promise<Buffer>;
  /** SIGKILL; resolves when it is gone. */
  kill(): Promise<void>;
  /** After it was killed: with the same port, settings and files. */
  startAgain(): Promise<void>;
  stop(): Promise<void>;
}

/** Why the real thing cannot be tested here, or undefined. In CI a missing server is a failure and not a skip. */
export function whyNoRedis(): string | undefined {
  try {
    execFileSync('redis-server', ['--version']);
    return undefined;
  } catch {
    const why = 'redis-server is not installed, so the Redis store was NOT tested';
    if (process.env['CI'] === 'true') throw new Error(`${why}. In CI that is a failure: install it.`);
    console.warn(`\n*** ${why} ***\n`);
    return why;
  }
}

/** Starts a server with the append-only file, as in production. Settings as on its command line. */
export async function startRedis(
  appendfsync: 'always' | 'everysec',
  settings: readonly string[] = [],
): Promise<RedisServer> {
  const folder = await mkdtemp(join(tmpdir(), 'eightfeeds-redis-'));
  const port = await freePort();
  const args = [
    '--port',
    String(port),
    '--bind',
    '127.0.0.1',
    '--dir',
    folder,
    '--save',
    '',
    '--appendonly',
    'yes',
  ];
  const start = async (): Promise<ChildProcess> => {
    const started = spawn('redis-server', [...args, '--appendfsync', appendfsync, ...settings], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    await ready(started);
    return started;
  };
  let server = await start();
  const kill = async (): Promise<void> => {
    if (server.exitCode !== null || server.signalCode !== null) return;
    const gone = new Promise((resolve) => server.once('exit', resolve));
    server.kill('SIGKILL');
    await gone;
  };
  return {
    url: `redis://127.0.0.1:${port}`,
    port,
    get process() {
      return server;
    },
    folder,
    kill,
    startAgain: async () => {
      server = await start();
    },
    async bytesOnDisk() {
      const names = await readdir(folder, { recursive: true, withFileTypes: true });
      const files = names.filter((entry) => entry.isFile());
      return Buffer.concat(
        await Promise.all(files.map((entry) => readFile(join(entry.parentPath, entry.name)))),
      );
    },
    async stop() {
      await kill();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** Settings of a server that may join a cluster. The bus port is named: by default it is the port plus 10,000, often too high. */
export async function clusterSettings(): Promise<readonly string[]> {
  return [
    '--cluster-enabled',
    'yes',
    '--cluster-node-timeout',
    '2000',
    '--cluster-port',
    String(await freePort()),
  ];
}

/** Three masters on loopback that share the slots. */
export async function startCluster(): Promise<readonly RedisServer[]> {
  const servers = await Promise.all(
    [1, 2, 3].map(async () => startRedis('everysec', await clusterSettings())),
  );
  const addresses = servers.map(({ port }) => `127.0.0.1:${port}`);
  await run('redis-cli', ['--cluster', 'create', ...addresses, '--cluster-yes']);
  await Promise.all(servers.map(async ({ port }) => whenClusterIsUp(port)));
  return servers;
}

/** Three masters on loopback, then a replica of each. */
export async function startClusterWithReplicas(): Promise<readonly RedisServer[]> {
  const servers = await Promise.all(
    Array.from({ length: 6 }, async () =>
      startRedis('everysec', [...(await clusterSettings()), ...followedSoon]),
    ),
  );
  const addresses = servers.map(({ port }) => `127.0.0.1:${port}`);
  await run('redis-cli', ['--cluster', 'create', ...addresses, '--cluster-replicas', '1', '--cluster-yes']);
  await Promise.all(servers.map(async ({ port }) => whenClusterIsUp(port)));
  await Promise.all(servers.slice(0, 3).map(async ({ port }) => whenItIsFollowed(port)));
  return servers;
}

/** A server that follows another, told its port or that of a way to it. */
export async function startReplica(master: RedisServer, port: number): Promise<RedisServer> {
  const replica = await startRedis('everysec', ['--replicaof', '127.0.0.1', String(port), ...followedSoon]);
  await whenItIsFollowed(master.port);
  return replica;
}

/** A first copy is not held back to wait for more replicas. */
export const followedSoon = ['--repl-diskless-sync-delay', '0'];

/** A replica counts once it has said for the first time how far it is: it does so every second. */
async function whenItIsFollowed(port: number): Promise<void> {
  for (;;) {
    const { stdout } = await run('redis-cli', ['-p', String(port), 'wait', '1', '1000']);
    if (Number(stdout) > 0) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** Runs a program and gives what it printed. */
export const run = promisify(execFile);

async function whenClusterIsUp(port: number): Promise<void> {
  for (;;) {
    const { stdout } = await run('redis-cli', ['-p', String(port), 'cluster', 'info']);
    if (stdout.includes('cluster_state:ok')) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

async function ready(server: ChildProcess): Promise<void> {
  let said = '';
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.once('exit', () => reject(new Error(`redis-server ended at once:\n${said}`)));
    server.stdout?.on('data', (chunk: Buffer) => {
      said += chunk.toString();
      if (said.includes('Ready to accept connections')) resolve();
    });
  });
  server.removeAllListeners('exit');
}
