import { createServer, connect, type AddressInfo, type Socket } from 'node:net';

/** A way to a server that can go silent: nothing is closed and nothing passes, as when a cable is pulled. */
export interface SilentProxy {
  readonly port: number;
  silence(): void;
  speak(): void;
  /**
   * Lets what a server tells its replicas come so much later, in milliseconds; what is on its way when it dies is lost, as it is
   * with the memory of a machine.
   */
  lagReplicas(ms: number): void;
  close(): Promise<void>;
}

/** @param target port on loopback; asked for each connection, since it may be known only later */
export async function silentProxy(target: () => number): Promise<SilentProxy> {
  let isSilent = false;
  let lagMs = 0;
  const sockets = new Set<Socket>();
  // Small writes go on at once, as the servers send them.
  const server = createServer({ noDelay: true }, (near) => {
    const far = connect({ port: target(), host: '127.0.0.1', noDelay: true });
    const toNear = late(
      () => lagMs,
      (bytes) => near.write(bytes),
    );
    let isReplica = false;
    near.on('data', (bytes) => {
      // What was on its way while it was silent is lost: the connection is no good afterwards.
      if (isSilent) return;
      isReplica ||= bytes.includes('PSYNC');
      far.write(bytes);
    });
    far.on('data', (bytes) => {
      if (isSilent) return;
      if (isReplica) toNear(bytes);
      else near.write(bytes);
    });
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      sockets.add(one);
      one.on('error', () => other.destroy());
      one.on('close', () => {
        sockets.delete(one);
        other.destroy();
      });
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    port: (server.address() as AddressInfo).port,
    silence: () => {
      isSilent = true;
    },
    speak: () => {
      for (const socket of sockets) socket.destroy();
      isSilent = false;
    },
    lagReplicas: (ms) => {
      lagMs = ms;
    },
    close: () =>
      new Promise((resolve) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => resolve());
      }),
  };
}

/** Hands bytes on in their order, each so long after it came; at once while there is no lag. */
function late(lagMs: () => number, write: (bytes: Buffer) => void): (bytes: Buffer) => void {
  const waiting: { readonly bytes: Buffer; readonly at: number }[] = [];
  const passOn = (): void => {
    const [first] = waiting;
    if (first === undefined) return;
    const ms = first.at - performance.now();
    if (ms > 0) {
      setTimeout(passOn, ms);
      return;
    }
    waiting.shift();
    write(first.bytes);
    passOn();
  };
  return (bytes) => {
    if (waiting.length === 0 && lagMs() === 0) {
      write(bytes);
      return;
    }
    waiting.push({ bytes, at: performance.now() + lagMs() });
    if (waiting.length === 1) passOn();
  };
}
