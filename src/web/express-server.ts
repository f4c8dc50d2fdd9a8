import { createServer, IncomingMessage, type Server, ServerResponse, type ServerOptions } from 'node:http';
import type { Express } from 'express';

/** A server that listens before its app is made; until then it answers 503. */
export interface ExpressServer {
  readonly server: Server;
  /** Answers with the app from now on. The app belongs to this server. */
  serve(app: Express): void;
}

/**
 * An HTTP server whose requests and responses are born as those of its Express app.
 *
 * Express gives each request and response a new prototype, and an object whose prototype was changed is slow in all that Node
 * and Express do with it afterwards: half of the time of a text. Where the prototype is already the right one, there is nothing
 * to change. Node's `IncomingMessage` and `ServerResponse` options, and the app's `request` and `response`, are there for this.
 */
export function expressServer(options: ServerOptions): ExpressServer {
  class AppRequest extends IncomingMessage {}
  class AppResponse extends ServerResponse<AppRequest> {}
  let app: Express | undefined;
  const server = createServer(
    { ...options, IncomingMessage: AppRequest, ServerResponse: AppResponse },
    (request, response) => {
      if (app === undefined) response.writeHead(503).end('starting');
      else app(request, response);
    },
  );
  return {
    server,
    serve: (given) => {
      Object.setPrototypeOf(AppRequest.prototype, given.request);
      Object.setPrototypeOf(AppResponse.prototype, given.response);
      given.request = AppRequest.prototype as unknown as Express['request'];
      given.response = AppResponse.prototype as unknown as Express['response'];
      app = given;
    },
  };
}
