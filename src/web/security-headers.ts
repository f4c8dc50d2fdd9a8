import type { RequestHandler } from 'express';

/** Everything a page needs comes from the line itself; nothing is inline, framed, sent elsewhere or kept in a cache. */
const headers: readonly (readonly [string, string])[] = [
  [
    'content-security-policy',
    [
      "default-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
      "img-src 'self'",
      "connect-src 'self'",
      "form-action 'self'",
      "frame-ancestors 'none'",
      "base-uri 'none'",
    ].join('; '),
  ],
  ['x-content-type-options', 'nosniff'],
  ['referrer-policy', 'no-referrer'],
  ['cross-origin-opener-policy', 'same-origin'],
  ['cross-origin-resource-policy', 'same-origin'],
  ['strict-transport-security', 'max-age=31536000'],
  ['cache-control', 'no-store'],
];

/** Sets the headers that keep a browser careful, on every answer but those to the carrier, which is no browser. */
export const securityHeaders: RequestHandler = (_request, response, next) => {
  for (const [name, value] of headers) response.setHeader(name, value);
  next();
};
