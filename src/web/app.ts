import { randomUUID } from 'node:crypto';
import express from 'express';
import { errorAnswer, errorForLog } from './error-status.ts';
import { securityHeaders } from './security-headers.ts';

/** Most bytes of any request's body. */
const maxBodyBytes = 64 * 1024;

/** Whether the line can do its work now, and how each of its parts does. No secrets and no personal data. */
export interface HealthReport {
  readonly ready: boolean;
  readonly parts: Readonly<Record<string, string | number | boolean | null>>;
}

/** The one thing the web asks of a log: a line for what went wrong. */
export interface WebLog {
  error(fields: object, message: string): void;
}

/** What the web is put together from. */
export interface WebParts {
  readonly carrierWebhooks: express.RequestHandler;
  /** The practice page. Never given when a carrier account is configured. */
  readonly practice?: express.Router;
  /** The counsellor's desk, under `/desk`. */
  readonly desk?: express.Router;
  /** Recorded prompts that the carrier plays. */
  readonly recordings?: express.Router;
  readonly health: () => Promise<HealthReport>;
  readonly log: WebLog;
}

/**
 * The express app: the carrier's webhooks, `/healthz` (the process lives), `/readyz` (it can work: 200, else 503), and the
 * practice page when there is one. Does not listen.
 */
export function webApp(parts: WebParts): express.Express {
  const app = express();
  app.disable('etag');
  app.disable('x-powered-by');
  // First: all that a text passes on its way. They refuse what is too large themselves.
  app.use(parts.carrierWebhooks);
  app.use(refuseTooLarge);
  if (parts.recordings !== undefined) app.use(parts.recordings);
  app.use(securityHeaders);
  app.get('/healthz', (_request, response) => {
    response.type('text/plain').end('alive');
  });
  app.get('/readyz', async (_request, response) => {
    const report = await parts.health().catch((error: unknown): HealthReport => {
      parts.log.error({ error: errorForLog(error) }, 'health could not be told');
      return { ready: false, parts: {} };
    });
    response.status(report.ready ? 200 : 503).json(report);
  });
  if (parts.practice !== undefined) app.use(parts.practice);
  if (parts.desk !== undefined) {
    app.use('/desk', parts.desk);
    if (parts.practice === undefined) app.get('/', (_request, response) => response.redirect(303, '/desk'));
  }
  app.use((_request, response) => {
    response.status(404).type('text/plain').end('There is nothing here.');
  });
  app.use(answerError(parts.log));
  return app;
}

/** A body that says it is too large is refused before it is read; one that does not say is cut off where it is read. */
const refuseTooLarge: express.RequestHandler = (request, response, next) => {
  if (Number(request.headers['content-length'] ?? 0) <= maxBodyBytes) {
    next();
    return;
  }
  request.resume();
  response.status(413).type('text/plain').end('The request is too large.');
};

function answerError(log: WebLog): express.ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    const requestId = randomUUID();
    const { status, words } = errorAnswer(error);
    if (status >= 500) {
      log.error({ requestId, path: request.path, status, error: errorForLog(error) }, 'a request failed');
    }
    if (response.headersSent) {
      next(error); // Express then closes the connection: half an answer must not look whole.
      return;
    }
    response.status(status).type('text/plain').end(`${words} Request ${requestId}`);
  };
}
