import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import RequestClient from 'twilio/lib/base/RequestClient.js';

/** A request as the stand-in got it. */
export interface RestRequest {
  readonly method: string;
  readonly path: string;
  readonly authorization: string;
  /** Form fields in order; a repeated one stands twice. */
  readonly form: readonly (readonly [string, string])[];
}

/** How the stand-in behaves for one request. */
export type Behaviour =
  | { readonly kind: 'accept' }
  | { readonly kind: 'accept-slowly'; readonly afterMs: number }
  | { readonly kind: 'answer'; readonly status: number; readonly body: string; readonly type?: string }
  | { readonly kind: 'hang' }
  | { readonly kind: 'reset' }
  /** Takes it, and then the connection breaks before the answer. */
  | { readonly kind: 'accept-and-reset' };

/** A stand-in for the carrier's REST API on loopback. It sends nothing; it keeps what it was asked. */
export interface CarrierRest {
  readonly requests: RestRequest[];
  /** What it took as to be sent. */
  readonly accepted: RestRequest[];
  /** What the next requests meet, in order; afterwards it accepts. */
  readonly behaviours: Behaviour[];
  /** The SDK's real client, pointed here: it can reach no other host. */
  readonly httpClient: RequestClient;
  close(): Promise<void>;
}

/** @param timeoutMs how long the SDK's client waits for an answer */
export async function carrierRest(timeoutMs = 2000): Promise<CarrierRest> {
  const requests: RestRequest[] = [];
  const accepted: RestRequest[] = [];
  const behaviours: Behaviour[] = [];
  const server = createServer((request, response) => {
    void read(request).then((got) => {
      requests.push(got);
      behave(behaviours.shift() ?? { kind: 'accept' }, got, response);
    });
  });
  const accept = (got: RestRequest, response: ServerResponse) => {
    accepted.push(got);
    const kind = got.path.endsWith('/Calls.json') ? 'CA' : 'SM';
    const sid = kind + accepted.length.toString(16).padStart(32, '0');
    // Dates as in RFC 2822, and the number of segments still unknown: as the carrier's API answers.
    const made = {
      sid,
      status: 'queued',
      num_segments: '1',
      date_created: new Date().toUTCString(),
      error_code: null,
    };
    response.writeHead(201, { 'content-type': 'application/json' }).end(JSON.stringify(made));
  };
  const behave = (behaviour: Behaviour, got: RestRequest, response: ServerResponse) => {
    switch (behaviour.kind) {
      case 'accept':
        return accept(got, response);
      case 'accept-slowly':
        return void setTimeout(() => accept(got, response), behaviour.afterMs);
      case 'answer':
        return response
          .writeHead(behaviour.status, { 'content-type': behaviour.type ?? 'application/json' })
          .end(behaviour.body);
      case 'accept-and-reset':
        accepted.push(got);
        return response.socket?.resetAndDestroy();
      case 'reset':
        return response.socket?.resetAndDestroy();
      case 'hang':
        return undefined;
      default:
        return behaviour satisfies never;
    }
  };
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    requests,
    accepted,
    behaviours,
    httpClient: new LoopbackClient(port, timeoutMs),
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

class LoopbackClient extends RequestClient {
  readonly #port: number;
  constructor(port: number, timeout: number) {
    super({ timeout, keepAlive: false });
    this.#port = port;
  }
  override request<Data>(options: RequestClient.RequestOptions<Data>) {
    const asked = new URL(options.uri);
    const uri = `http://127.0.0.1:${this.#port}${asked.pathname}${asked.search}`;
    return super.request<Data>({ ...options, uri });
  }
}

async function read(request: IncomingMessage): Promise<RestRequest> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return {
    method: request.method ?? '',
    path: request.url ?? '',
    authorization: request.headers.authorization ?? '',
    form: [...new URLSearchParams(Buffer.concat(chunks).toString('utf8'))],
  };
}
