import type { RequestHandler } from 'express';

/**
 * Another site that is open in the same browser must not press buttons here. Old phone browsers send neither header: for them the
 * proof in the form alone decides, which no other site can read.
 */
export const refuseForeign: RequestHandler = (request, response, next) => {
  const site = request.get('sec-fetch-site');
  const origin = request.get('origin');
  const isForeign =
    site === undefined
      ? origin !== undefined && origin !== 'null' && hostOf(origin) !== request.get('host')
      : site !== 'same-origin' && site !== 'none';
  if (isForeign) {
    request.resume();
    response.status(403).type('text/plain').end('Only a page of the desk may do this.');
    return;
  }
  next();
};

function hostOf(origin: string): string | undefined {
  try {
    return new URL(origin).host;
  } catch {
    return undefined;
  }
}
