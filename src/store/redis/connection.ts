import { createHash } from 'node:crypto';
import { ErrorReply } from 'redis';
import { StoreUnavailable } from '../../errors.ts';
import { notTried, TooFewReplicas } from './replicas.ts';
import { manyServers, oneServer, type RedisAddress, type RedisTimes } from './senders.ts';

/** A Lua script that runs all or nothing in one slot. Its only key is the root that every key it touches begins with. */
export interface Script {
  readonly name: string;
  readonly lua: string;
  readonly sha: string;
  /** Whether somebody is told, outside, that what it did is kept. */
  readonly isTold: boolean;
}

/** What a script gives: numbers, bytes, and lists of them. */
export type Answer = number | Buffer | null | readonly Answer[];

/** A connection that answers in time or says that it cannot. */
export interface RedisConnection {
  /** @throws StoreUnavailable when there is no answer in time, no connection, or the server refused */
  run(script: Script, root: string, args: readonly (string | Buffer)[]): Promise<Answer>;
  close(): Promise<void>;
}

/** A silent server is tried again this often; all other calls meanwhile fail at once. */
const probeEveryMs = 250;

/** Names a script and computes what the server knows it by. */
export function script(name: string, ...lua: readonly string[]): Script {
  const text = lua.join('\n');
  return { name, lua: text, sha: createHash('sha1').update(text).digest('hex'), isTold: false };
}

/** A script whose answer tells somebody that something is kept: it waits for replicas, if that is set. */
export function toldScript(name: string, ...lua: readonly string[]): Script {
  return { ...script(name, ...lua), isTold: true };
}

/**
 * KEYS[1]  root of a shard
 */
const markScript = script('mark', `return redis.call('SET', KEYS[1] .. 'told', 1)`);

/**
 * Connects, and keeps connecting again when the connection is lost. While it is lost, calls fail at once: nothing waits in
 * memory for a server that may never come back.
 * @param replicas how many must have what a told script did before its answer is given
 * @throws StoreUnavailable when no server answers within `connectMs`
 */
export async function connect(
  address: RedisAddress,
  times: RedisTimes,
  replicas: number,
): Promise<RedisConnection> {
  const waited = { count: replicas, ms: times.replicasMs };
  const sender =
    'url' in address ? oneServer(address.url, times, waited) : manyServers(address.cluster, times, waited);
  const perSlot = 'cluster' in address;
  const silent = new Map<string, { probeAt: number; readonly isShort: boolean }>();
  let open = true;

  async function send(root: string, isTold: boolean, args: readonly (string | Buffer)[]): Promise<unknown> {
    if (!open) throw new StoreUnavailable('The store is closed.');
    const waited = isTold ? sender.sendWaited : undefined;
    // A server whose replicas are too few can still be read.
    const server = `${perSlot ? root : ''}${waited === undefined ? '' : '+'}`;
    const silence = silent.get(server);
    const now = performance.now();
    if (silence) {
      if (now < silence.probeAt)
        throw silence.isShort
          ? notTried()
          : new StoreUnavailable('The Redis server does not answer. It is tried again shortly.');
      silence.probeAt = now + probeEveryMs;
    }
    const fallSilent = (isShort: boolean) => {
      silent.set(server, { probeAt: performance.now() + probeEveryMs, isShort });
    };
    const isShort = silence?.isShort === true;
    const work = async (): Promise<unknown> => {
      // Nothing more is written that could not be told: a mark finds out whether there are enough again.
      if (waited !== undefined && isShort) await waited(root, ['EVAL', markScript.lua, '1', root]);
      return (waited ?? sender.send)(root, args);
    };
    try {
      const answer = await inTime(work(), times.commandMs, () => fallSilent(false));
      silent.delete(server);
      return answer;
    } catch (error) {
      // A refusal is an answer too.
      if (error instanceof ErrorReply) silent.delete(server);
      if (!(error instanceof TooFewReplicas)) throw error;
      fallSilent(true);
      throw isShort ? notTried() : error;
    }
  }

  try {
    await inTime(sender.connect(), times.connectMs, () => undefined);
  } catch (error) {
    sender.destroy();
    throw unavailable('connecting', error);
  }

  return {
    async run({ name, lua, sha, isTold }, root, args) {
      try {
        return (await send(root, isTold, ['EVALSHA', sha, '1', root, ...args])) as Answer;
      } catch (error) {
        if (!isUnknownScript(error)) throw unavailable(name, error);
      }
      try {
        return (await send(root, isTold, ['EVAL', lua, '1', root, ...args])) as Answer;
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
