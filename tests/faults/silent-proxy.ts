import { createServer, connect, type AddressInfo, type Socket } from 'node:net';

/** A way to a server that can go silent: nothing is closed and nothing passes, as when a cable is pulled. */
export interface SilentProxy {
  readonly port: number;
  silence(): void;
  speak(): void;
  close(): Promise<void>;
}

/** @param target port on loopback; asked for each connection, since it may be known only later */
export async function silentProxy(target: () => number): Promise<SilentProxy> {
  let isSilent = false;
  const sockets = new Set<Socket>();
  const server = createServer((near) => {
    const far = connect(target(), '127.0.0.1');
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      sockets.add(one);
      one.on('data', (bytes) => {
        // What was on its way while it was silent is lost: the connection is no good afterwards.
        if (!isSilent) other.write(bytes);
      });
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
    close: () =>
      new Promise((resolve) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => resolve());
      }),
  };
}
