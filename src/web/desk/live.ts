import { constants, createGzip } from 'node:zlib';
import type { Request, Response } from 'express';
import type { LineId } from '../../dialog/line.ts';

/** A page that is open and wants to know. */
export interface LivePage {
  /** The line it shows, or undefined for the list, which any line can change. */
  readonly lineId?: LineId;
  /** Still signed in: asked before each word. */
  isWelcome(): Promise<boolean>;
  /** What to send now, or undefined when nothing is new to this page. */
  news(): Promise<{ readonly event: string; readonly data: object } | undefined>;
}

export interface Live {
  /** Keeps the answer open and tells it news, until the browser goes or is no longer welcome. */
  connect(request: Request, response: Response, page: LivePage): void;
}

const mostPages = 200;
/** Other processes' changes are seen within so long; also a sign of life, so that nothing in between closes a quiet line. */
const lookEveryMs = 15_000;
/** Several changes at once are one piece of news. */
const gatherMs = 150;

/** Live updates as server-sent events (WHATWG HTML, section 9.2). */
export function openLive(watch: (onChange: (lineId: LineId) => void) => () => void): Live {
  let open = 0;
  return {
    connect(request, response, page) {
      if (open >= mostPages) {
        response.status(503).end();
        return;
      }
      open += 1;
      response.status(200);
      response.setHeader('content-type', 'text/event-stream; charset=utf-8');
      response.setHeader('x-accel-buffering', 'no');
      const stream = packed(request, response);
      response.flushHeaders();
      stream.write('retry: 5000\n\n');
      let gathering: NodeJS.Timeout | undefined;
      let closed = false;
      let looking = Promise.resolve();
      const look = async (): Promise<void> => {
        if (closed) return;
        if (!(await page.isWelcome())) {
          stream.end('event: signed-out\ndata: {}\n\n');
          return;
        }
        const news = await page.news();
        if (closed) return;
        stream.write(
          news === undefined ? ': alive\n\n' : `event: ${news.event}\ndata: ${JSON.stringify(news.data)}\n\n`,
        );
      };
      const lookNext = (): void => {
        gathering = undefined;
        // A store that is away ends the stream; the browser asks again by itself, and the trouble is told where it began.
        looking = looking.then(look).catch(() => void stream.end());
      };
      const stopWatching = watch((lineId) => {
        if (page.lineId === undefined || page.lineId === lineId) gathering ??= setTimeout(lookNext, gatherMs);
      });
      const timer = setInterval(lookNext, lookEveryMs);
      timer.unref();
      lookNext();
      response.on('close', () => {
        closed = true;
        open -= 1;
        clearInterval(timer);
        clearTimeout(gathering);
        stopWatching();
      });
    },
  };
}

/** A list that is sent again packs to almost nothing against the one before: on a slow line that is what makes it usable. */
function packed(request: Request, response: Response): NodeJS.WritableStream {
  if (request.acceptsEncodings('gzip') === false) return response;
  response.setHeader('content-encoding', 'gzip');
  const gzip = createGzip({ flush: constants.Z_SYNC_FLUSH });
  gzip.pipe(response);
  response.on('close', () => gzip.destroy());
  return gzip;
}
