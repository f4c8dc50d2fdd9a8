import { createClient, createCluster, RESP_TYPES } from 'redis';
import { inWaitedGroups, isMoved, type ReplicasWaited } from './replicas.ts';

/** Where the server is: one address, or some of a cluster's. Addresses as `redis://` or `rediss://` with name and password. */
export type RedisAddress = { readonly url: string } | { readonly cluster: readonly string[] };

/** Times of a connection, in milliseconds. */
export interface RedisTimes {
  /** How long one command may take. Longer than a slow disk's sync; well below the 15 s that a carrier waits. */
  readonly commandMs: number;
  readonly connectMs: number;
  /** How long replicas may take to confirm a change, where they are waited for. Below `commandMs`. */
  readonly replicasMs: number;
}

type Send = (root: string, args: readonly (string | Buffer)[]) => Promise<unknown>;

/** A way to a server, or to whichever server of a cluster has the root's slot. */
export interface Sender {
  connect(): Promise<unknown>;
  readonly send: Send;
  /** Gives the answer only when enough replicas have what was done; undefined where none is waited for. */
  readonly sendWaited: Send | undefined;
  destroy(): void;
}

const options = { timeout: 0, typeMapping: { [RESP_TYPES.BLOB_STRING]: Buffer } } as const;

/** A slot that has moved more often than this while one script was sent is left for the next try. */
const mostMoves = 4;

function settings({ commandMs, connectMs }: RedisTimes) {
  return {
    disableOfflineQueue: true,
    // Calls are timed by the connection: the client would make an abort signal for each.
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

/** One server. What waits for replicas has a connection of its own, since one that waits stands still. */
export function oneServer(url: string, times: RedisTimes, waited: ReplicasWaited): Sender {
  const open = () => createClient({ url, ...settings(times) }).on('error', ignored);
  const client = open();
  const writer = waited.count > 0 ? open() : undefined;
  const all = writer === undefined ? [client] : [client, writer];
  const grouped = writer && inWaitedGroups(groupsOf(writer), waited);
  return {
    connect: () => Promise.all(all.map((one) => one.connect())),
    send: (_root, args) => client.sendCommand([...args], options),
    sendWaited: grouped && ((_root, args) => grouped(args)),
    destroy: () => {
      for (const one of all) if (one.isOpen) one.destroy();
    },
  };
}

/** A cluster; as `oneServer`. */
export function manyServers(urls: readonly string[], times: RedisTimes, waited: ReplicasWaited): Sender {
  const open = () =>
    createCluster({
      rootNodes: urls.map((url) => ({ url })),
      defaults: settings(times),
      topologyRefreshOnReconnectionAttemptStrategy: 500,
    })
      .on('error', ignored)
      .on('node-error', ignored);
  const cluster = open();
  const writer = waited.count > 0 ? open() : undefined;
  const all = writer === undefined ? [cluster] : [cluster, writer];
  return {
    connect: () => Promise.all(all.map((one) => one.connect())),
    send: (root, args) => cluster.sendCommand(root, false, [...args], options),
    sendWaited: writer && waitedOn(writer, waited),
    destroy: () => {
      for (const one of all) if (one.isOpen) one.destroy();
    },
  };
}

/** Groups of each master. Where a slot went to another one nothing was done: its script is sent there, in a group of that one. */
function waitedOn(cluster: Cluster, waited: ReplicasWaited): Send {
  const groups = new WeakMap<object, ReturnType<typeof inWaitedGroups>>();
  const groupsAt = (client: Client) => {
    const known = groups.get(client) ?? inWaitedGroups(groupsOf(client), waited);
    groups.set(client, known);
    return known;
  };
  return async (root, args) => {
    for (let moves = 0; ; moves++) {
      try {
        return await groupsAt(await cluster.getNodeClientForKey(root))(args);
      } catch (error) {
        if (!isMoved(error) || moves >= mostMoves) throw error;
        // The client looks where the slots are when a command of its own is sent away.
        await cluster.sendCommand(root, false, ['EXISTS', root], options);
      }
    }
  };
}

/** The slice of the client's own that is used here. */
interface Client {
  sendCommand(
    args: (string | Buffer)[],
    options: { readonly timeout: number; readonly chainId: symbol },
  ): Promise<unknown>;
}

interface Cluster {
  getNodeClientForKey(key: string): Promise<Client>;
  sendCommand(firstKey: string, isReadonly: boolean, args: string[], options: object): Promise<unknown>;
}

/** The client sends no part of a chain on another connection than its beginning. */
function groupsOf(client: Client) {
  return (args: readonly (string | Buffer)[], chainId: symbol) =>
    client.sendCommand([...args], { ...options, chainId });
}

/** Every call that fails says so to its own caller; an error event without a listener would end the process. */
function ignored(): void {
  return undefined;
}
