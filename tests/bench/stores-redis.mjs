/** A redis-server of our own on loopback, with the append-only file as in production. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createClient } from 'redis';

/** @param {readonly string[]} before what the command begins with, to put it on a core */
export async function redisServer(before = []) {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-bench-redis-'));
  const port = await freePort();
  const settings = [
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
  const [program, ...args] = [...before, 'redis-server', ...settings];
  const server = spawn(program, args, { stdio: 'ignore' });
  const gone = new Promise((resolve) => server.once('exit', resolve));
  const url = `redis://127.0.0.1:${port}`;
  const client = await createClient({ url })
    .on('error', () => undefined)
    .connect();
  const figure = async (section, name) =>
    Number(new RegExp(`^${name}:([\\d.]+)`, 'm').exec(await client.sendCommand(['INFO', section]))?.[1]);
  return {
    url,
    /** `always` or `everysec`. */
    sync: (when) => client.sendCommand(['CONFIG', 'SET', 'appendfsync', when]),
    bytes: () => figure('memory', 'used_memory'),
    /** Bytes of all keys by what they are for, most first. */
    async bytesByKey() {
      const sums = new Map();
      for await (const keys of client.scanIterator({ COUNT: 1_000 })) {
        const sizes = await Promise.all(
          keys.map((key) => client.sendCommand(['MEMORY', 'USAGE', key, 'SAMPLES', '0'])),
        );
        for (const [i, key] of keys.entries()) {
          const kind = key.replace(/\{\d+\}:/, '').replace(/:([a-z]):.*/, ':$1:...');
          sums.set(kind, (sums.get(kind) ?? 0) + sizes[i]);
        }
      }
      return [...sums].sort((a, b) => b[1] - a[1]);
    },
    /** Microseconds of processor so far. */
    cpuMicros: async () =>
      1e6 * ((await figure('cpu', 'used_cpu_user')) + (await figure('cpu', 'used_cpu_sys'))),
    empty: () => client.sendCommand(['FLUSHALL']),
    async stop() {
      client.destroy();
      server.kill('SIGKILL');
      await gone;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function freePort() {
  const probe = createServer();
  await new Promise((resolve) => probe.listen(0, '127.0.0.1', resolve));
  const { port } = probe.address();
  await new Promise((resolve) => probe.close(resolve));
  return port;
}
