import type { RequestHandler, Response } from 'express';
import type { Phones } from './phones.ts';

/** Live updates to the practice page, as server-sent events (WHATWG HTML, section 9.2). */
export interface EventStream {
  /** Answers a request with the clock and all phones, and then each change. */
  readonly connect: RequestHandler;
  /** Tells every page the new time. */
  clockMoved(): void;
}

/** Pages open at once; more are turned away. */
const maxPages = 20;

/** Milliseconds between signs of life, so that nothing in between closes a quiet connection. */
const signOfLifeMs = 20_000;

/** Streams the phones' screens. */
export function eventStream(phones: Phones, now: () => number): EventStream {
  const pages = new Set<Response>();
  const send = (page: Response, event: string, data: object) => {
    page.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  };
  phones.watch((number) => {
    for (const page of pages) send(page, 'phone', phones.get(number));
  });
  return {
    connect(_request, response) {
      if (pages.size >= maxPages) {
        response.status(503).end();
        return;
      }
      response.status(200);
      response.setHeader('content-type', 'text/event-stream; charset=utf-8');
      response.flushHeaders();
      send(response, 'clock', { now: now() });
      for (const phone of phones.all()) send(response, 'phone', phone);
      send(response, 'all-shown', {});
      pages.add(response);
      const alive = setInterval(() => response.write(': alive\n\n'), signOfLifeMs);
      alive.unref();
      response.on('close', () => {
        clearInterval(alive);
        pages.delete(response);
      });
    },
    clockMoved() {
      for (const page of pages) send(page, 'clock', { now: now() });
    },
  };
}
