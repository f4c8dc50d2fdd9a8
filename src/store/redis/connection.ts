import { createHash } from 'node:crypto';
import { createClient, createCluster, ErrorReply, RESP_TYPES } from 'redis';
import { StoreUnavailable } from '../../errors.ts';

/** A Lua script that runs all or nothing in one slot. Its only key is the root that every key it touches begins with. */
export interface Script {
  readonly name: string;
  readonly lua: string;
  readonly sha: string;
}

/** What a script gives: numbers, bytes, and lists of them. */
export type Answer = number | Buffer | null | readonly Answer[];

/** Where the server is: one address, or some of a cluster's. Addresses as `redis://` or `rediss://` with name and password. */
export type RedisAddress = { readonly url: string } | { readonly cluster: readonly string[] };

/** A connection that answers in time or says that it cannot. */
export interface RedisConnection {
  /** @throws StoreUnavailable when there is no answer in time, no connection, or the server refused */
  run(script: Script, root: string, args: readonly (string | Buffer)[]): Promise<Answer>;
  close(): Promise<void>;
}

/** Times of a connection, in milliseconds. */
export interface RedisTimes {
  /** How long one command may take. Longer than a slow disk's sync; well below the 15 s that a carrier waits. */
  readonly commandMs: number;
  readonly connectMs: number;
}

interface Sender {
  connect(): Promise<unknown>;
  send(root: string, args: readonly (string | Buffer)[]): Promise<unknown>;
  destroy(): void;
}

const options = { timeout: 0, typeMapping: { [RESP_TYPES.BLOB_STRING]: Buffer } } as const;

/** A silent server is tried again this often; all other calls meanwhile fail at once. */
const probeEveryMs = 250;

/** Names a script and computes what the server knows it by. */
export function script(name: string, ...lua: readonly string[]): Script {
  const text = lua.join('\n');
  return { name, lua: text, sha: createHash('sha1').update(text).digest('hex') };
}

/**
 * Connects, and keeps connecting again when the connection is lost. While it is lost, calls fail at once: nothing waits in
 * memory for a server that may never come back.
 * @throws StoreUnavailable when no server answers within `connectMs`
 */
export async function connect(address: RedisAddress, times: RedisTimes): Promise<RedisConnection> {
  const sender = 'url' in address ? oneServer(address.url, times) : manyServers(address.cluster, times);
  const perSlot = 'cluster' in address;
  const silent = new Map<string, { probeAt: number }>();
  let open = true;

  async function send(root: string, args: readonly (string | Buffer)[]): Promise<unknown> {
    if (!open) throw new StoreUnavailable('The store is closed.');
    const server = perSlot ? root : '';
    const silence = silent.get(server);
    const now = performance.now();
    if (silence) {
      if (now < silence.probeAt)
        throw new StoreUnavailable('The Redis server does not answer. It is tried again shortly.');
      silence.probeAt = now + probeEveryMs;
    }
    try {
      const answer = await inTime(sender.send(root, args), times.commandMs, () => {
        silent.set(server, { probeAt: performance.now() + probeEveryMs });
      });
      silent.delete(server);
      return answer;
    } catch (error) {
      // A refusal is an answer too.
      if (error instanceof ErrorReply) silent.delete(server);
      throw error;
    }
  }

  try {
    await inTime(sender.connect(), times.connectMs, () => undefined);
  } catch (error) {
    sender.destroy();
    throw unavailable('connecting', error);
  }

  return {
    async run({ name, lua, sha }, root, args) {
      try {
        return (await send(root, ['EVALSHA', sha, '1', root, ...args])) as Answer;
      } catch (error) {
        if (!isUnknownScript(error)) throw unavailable(name, error);
      }
      try {
        return (await send(root, ['EVAL', lua, '1', root, ...args])) as Answer;
      } catch (error) {
        throw unavailable(name, error);
      }
    },
    close() {
      open = false;
      sender.destroy();
      return Promise.resolve();
    },
  };
}

function settings({ commandMs, connectMs }: RedisTimes) {
  return {
    disableOfflineQueue: true,
    // Calls are timed here, below: the client would make an abort signal for each.
    commandOptions: { timeout: 0 },
    // A ping that is not answered leaves the socket idle; then it is closed and a new one opened.
    pingInterval: commandMs / 2,
    socket: {
      connectTimeout: connectMs,
      socketTimeout: commandMs,
      reconnectStrategy: (retries: number) => Math.min(50 * 2 ** retries, 1_000),
    },
  } as const;
}

function oneServer(url: string, times: RedisTimes): Sender {
  const client = createClient({ url, ...settings(times) });
  client.on('error', ignored);
  return {
    connect: () => client.connect(),
    send: (_root, args) => client.sendCommand([...args], options),
    destroy: () => {
      if (client.isOpen) client.destroy();
    },
  };
}

function manyServers(urls: readonly string[], times: RedisTimes): Sender {
  const cluster = createCluster({
    rootNodes: urls.map((url) => ({ url })),
    defaults: settings(times),
    topologyRefreshOnReconnectionAttemptStrategy: 500,
  });
  cluster.on('error', ignored);
  cluster.on('node-error', ignored);
  return {
    connect: () => cluster.connect(),
    send: (root, args) => cluster.sendCommand(root, false, [...args], options),
    destroy: () => {
      if (cluster.isOpen) cluster.destroy();
    },
  };
}

/** Every call that fails says so to its own caller; an error event without a listener would end the process. */
function ignored(): void {
  return undefined;
}

async function inTime<T>(promise: Promise<T>, ms: number, whenLate: () => void): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      whenLate();
      reject(new StoreUnavailable(`The Redis server did not answer within ${ms} ms.`));
    }, ms);
  });
  try {
    return await Promise.race([promise, late]);
  } finally {
    clearTimeout(timer);
  }
}

function isUnknownScript(error: unknown): boolean {
  return error instanceof Error && error.message.startsWith('NOSCRIPT');
}

function unavailable(what: string, error: unknown): StoreUnavailable {
  if (error instanceof StoreUnavailable) return error;
  return new StoreUnavailable(
    `Redis cannot be used now (${what}). Check that the server runs and can be reached.`,
    { cause: error },
  );
}
