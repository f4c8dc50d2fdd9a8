import { createHash, timingSafeEqual } from 'node:crypto';
import { createServer } from 'node:http';
import type { Registry } from 'prom-client';
import { ConfigError } from '../errors.ts';

/** Where and for whom the metrics are served. */
export interface MetricsServerOptions {
  readonly host: string;
  readonly port: number;
  /** When set, only a request with `Authorization: Bearer <token>` is answered. */
  readonly token: string | undefined;
  readonly registry: Registry;
  /** Reads what is read on demand. Never rejects. */
  readonly refresh: () => Promise<void>;
}

export interface MetricsServer {
  /** Where it listens, with the path. */
  readonly url: string;
  close(): void;
}

/**
 * `GET /metrics` in the Prometheus text format, on a port of its own: the port that the carrier reaches never serves it.
 * @throws ConfigError when it cannot listen there
 */
export async function serveMetrics(options: MetricsServerOptions): Promise<MetricsServer> {
  const { registry, refresh } = options;
  const isAllowed = bearerCheck(options.token);
  const server = createServer({ requestTimeout: 10_000, headersTimeout: 5_000 }, (request, response) => {
    request.resume();
    const end = (status: number, type: string, body: string, headers = {}) =>
      response.writeHead(status, { 'content-type': type, 'cache-control': 'no-store', ...headers }).end(body);
    const refuse = (status: number, words: string, headers = {}) => end(status, 'text/plain', words, headers);
    if (!isAllowed(request.headers.authorization)) {
      refuse(401, 'A token is needed.', { 'www-authenticate': 'Bearer' });
    } else if (request.url?.split('?', 1)[0] !== '/metrics') refuse(404, 'There is nothing here.');
    else if (request.method !== 'GET') refuse(405, 'Only GET is answered here.', { allow: 'GET' });
    else {
      refresh()
        .then(() => registry.metrics())
        .then(
          (text) => end(200, registry.contentType, text),
          () => refuse(500, 'The metrics cannot be told.'),
        );
    }
  });
  server.listen(options.port, options.host);
  await new Promise((resolve, reject) => server.once('listening', resolve).once('error', reject)).catch(
    (error: unknown) => {
      throw new ConfigError([
        `METRICS_PORT and METRICS_HOST: cannot listen there: ${error instanceof Error ? error.message : 'no reason given'}.`,
      ]);
    },
  );
  const address = server.address();
  return {
    url: `http://${options.host}:${typeof address === 'object' ? address?.port : options.port}/metrics`,
    close() {
      server.close();
      server.closeAllConnections();
    },
  };
}

/** Compared by digest: it takes as long whatever is wrong with the token. */
function bearerCheck(token: string | undefined): (header: string | undefined) => boolean {
  if (token === undefined) return () => true;
  const digest = (text: string) => createHash('sha256').update(text).digest();
  const wanted = digest(token);
  return (header = '') => {
    const [, given = ''] = /^Bearer +(\S+)$/i.exec(header) ?? [];
    return timingSafeEqual(digest(given), wanted);
  };
}
