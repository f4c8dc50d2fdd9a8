import { gzip } from 'node:zlib';
import type { Request, Response } from 'express';

/** Sends a page, packed when the browser can unpack it: on a slow line that is a quarter of the wait. */
export function sendPage(request: Request, response: Response, page: string, status = 200): Promise<void> {
  response.status(status).type('html').setHeader('vary', 'accept-encoding');
  if (request.acceptsEncodings('gzip') === false) {
    response.end(page);
    return Promise.resolve();
  }
  return new Promise((resolve, reject) => {
    gzip(page, (error, packed) => {
      if (error === null) {
        response.setHeader('content-encoding', 'gzip');
        response.end(packed);
        resolve();
      } else reject(error);
    });
  });
}
