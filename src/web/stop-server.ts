import type { Server, ServerResponse } from 'node:http';
import { Server as NetServer } from 'node:net';
import { setTimeout as wait } from 'node:timers/promises';

/** A request that was sent before we closed the door is here by then. */
const onItsWayMs = 150;

/** Looked at so often whether the last answer is out. */
const lookEveryMs = 20;

/**
 * Prepares a server to be stopped without cutting off an answer that is owed: what was kept must also be told.
 * @param mostMs how long answers may still take; live pages, which never end, are not waited for
 * @returns stops: no new connection; the answers under way; then every connection is closed
 */
export function stoppable(server: Server, mostMs: number): () => Promise<void> {
  const open = new Set<ServerResponse>();
  server.on('request', (_request, response: ServerResponse) => {
    open.add(response);
    response.once('close', () => open.delete(response));
  });
  return async () => {
    // Not the close of the HTTP server: that cuts off connections whose request is still on its way in.
    NetServer.prototype.close.call(server);
    await wait(onItsWayMs);
    const until = performance.now() + mostMs;
    while ([...open].some(isOwed) && performance.now() < until) await wait(lookEveryMs);
    server.closeAllConnections();
  };
}

function isOwed(response: ServerResponse): boolean {
  return !String(response.getHeader('content-type')).startsWith('text/event-stream');
}
