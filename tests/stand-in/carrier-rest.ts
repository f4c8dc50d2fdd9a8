import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import RequestClient from 'twilio/lib/base/RequestClient.js';
import { aboutAccount, type PlayedAccount } from './rest-account.ts';
import { kindOf, made, refusedFor, type RestRequest } from './rest-answers.ts';
import { type Behaviour, type Chances, drawn, type DrawnBehaviour } from './rest-behaviour.ts';
import { type ReceiptOptions, receiptPoster } from './rest-receipts.ts';
import { seeded } from './seeded.ts';

export type { Behaviour, RestRequest };

/** How a stand-in is set up. All of it is optional: without anything it takes all and tells nothing. */
export interface CarrierRestOptions {
  /** How long the SDK's client waits for an answer, ms; 2000 unless told. */
  readonly timeoutMs?: number;
  /** TCP port on loopback; any free one unless told. */
  readonly port?: number;
  /** Makes all chances the same again. */
  readonly seed?: number;
  /** Troubles, drawn for each request that no planned behaviour is for. */
  readonly chances?: Chances;
  readonly retryAfterSeconds?: number;
  /** Longest wait before an answer, ms. */
  readonly delayMs?: number;
  /** Without it no receipts are sent. */
  readonly receipts?: ReceiptOptions;
  /** The clock of the dates in its answers. */
  readonly now?: () => Date;
  /** Answers questions about the account as if it were this one; without it there is none. */
  readonly account?: PlayedAccount;
  /** Told of each request that it took as to be sent, with the id that it gave. */
  readonly onAccepted?: (request: RestRequest, sid: string) => void;
}

/** A stand-in for the carrier's REST API on loopback. It sends nothing; it keeps what it was asked. */
export interface CarrierRest {
  readonly url: string;
  readonly requests: RestRequest[];
  /** What it took as to be sent. */
  readonly accepted: RestRequest[];
  /** What the next requests meet, in order; afterwards chance, or it accepts. */
  readonly behaviours: Behaviour[];
  /** The SDK's real client, pointed here: it can reach no other host. */
  readonly httpClient: RequestClient;
  /** Resolves when every receipt that was begun is posted. */
  receiptsSettled(): Promise<void>;
  close(): Promise<void>;
}

/** @param setUp options; a number is the client's time-out alone */
export async function carrierRest(setUp: CarrierRestOptions | number = {}): Promise<CarrierRest> {
  const options = typeof setUp === 'number' ? { timeoutMs: setUp } : setUp;
  const { seed = 1, chances = {}, delayMs = 0, now = () => new Date() } = options;
  const random = seeded(seed);
  const draw = drawn(chances, seeded(seed ^ 0x5eed), options.retryAfterSeconds);
  const receipts = options.receipts && receiptPoster(options.receipts, seeded(seed ^ 0xface));
  const requests: RestRequest[] = [];
  const accepted: RestRequest[] = [];
  const behaviours: Behaviour[] = [];

  const take = (got: RestRequest): string => {
    accepted.push(got);
    const sid =
      (kindOf(got) === 'call' ? 'CA' : 'SM') +
      ((seed * 0x10000 + accepted.length) >>> 0).toString(16).padStart(32, '0');
    options.onAccepted?.(got, sid);
    receipts?.tell(got, sid);
    return sid;
  };
  const accept = (got: RestRequest, response: ServerResponse) => {
    const { status, type, body } = made(got, take(got), now());
    response.writeHead(status, { 'content-type': type }).end(body);
  };
  const behave = (behaviour: DrawnBehaviour, got: RestRequest, response: ServerResponse) => {
    switch (behaviour.kind) {
      case 'accept':
        return accept(got, response);
      case 'accept-slowly':
        return void setTimeout(() => accept(got, response), behaviour.afterMs);
      case 'answer':
        if (behaviour.taken === true) take(got);
        return response
          .writeHead(behaviour.status, {
            'content-type': behaviour.type ?? 'application/json',
            ...behaviour.headers,
          })
          .end(behaviour.body);
      case 'accept-and-reset':
        take(got);
        return response.socket?.resetAndDestroy();
      case 'reset':
        return response.socket?.resetAndDestroy();
      case 'accept-and-hang':
        take(got);
        return undefined;
      case 'hang':
        return undefined;
      default:
        return behaviour satisfies never;
    }
  };
  const server = createServer((request, response) => {
    void read(request).then((got) => {
      requests.push(got);
      const refused = (options.account && aboutAccount(got, options.account)) ?? refusedFor(got);
      const planned = behaviours.shift();
      const what: DrawnBehaviour =
        planned ?? (refused === undefined ? draw() : { kind: 'answer', ...refused });
      const wait = delayMs * random();
      if (wait < 1) behave(what, got, response);
      else setTimeout(() => behave(what, got, response), wait);
    });
  });
  await new Promise<void>((resolve) => server.listen(options.port ?? 0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}`,
    requests,
    accepted,
    behaviours,
    httpClient: new LoopbackClient(port, options.timeoutMs ?? 2000),
    receiptsSettled: async () => receipts?.settled(),
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
