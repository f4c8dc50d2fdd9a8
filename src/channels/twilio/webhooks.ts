import express from 'express';
import type { Inbound, Reply } from '../carrier.ts';
import { readFormBody } from './form-body.ts';
import {
  nextKeyStep,
  type Ours,
  readAnswer,
  readCall,
  readCallStatus,
  readConnectEnded,
  readKeys,
  readReceipt,
  readText,
  type Webhook,
  type WebhookReader,
} from './read-webhook.ts';
import { signatureCheck } from './signature.ts';
import { callTwiml, textTwiml } from './twiml.ts';
import { defaultVoices, type Voices } from './voices.ts';

/** What is said when the line itself cannot answer. It must tell her what to do about an ill baby without the line. */
export interface Apologies {
  readonly text: string;
  readonly call: string;
  readonly language: string;
}

/** How the carrier's webhooks are proved and where they go. */
export interface TwilioWebhookOptions {
  readonly authToken: string;
  readonly accountSid: string;
  /** The line's own numbers, E.164. */
  readonly numbers: readonly string[];
  /** The address the carrier calls, without a slash at the end. Headers of a request are never believed instead. */
  readonly publicUrl: string;
  /** Answers what was told, after it is kept. */
  readonly service: { receive(inbound: Inbound): Promise<Reply> };
  readonly apologies: Apologies;
  readonly voices?: Voices;
  /** Where recorded prompts are served, without a slash at the end. Without it the carrier's voice says everything. */
  readonly recordingsUrl?: string;
  /** Told of each request turned away, by field names only. */
  readonly onRefused?: (refusal: {
    readonly path: string;
    readonly status: number;
    readonly why: string;
  }) => void;
}

/** How a webhook is read, and how its reply is written; no writer: the carrier wants none. */
interface Route {
  readonly read: WebhookReader;
  readonly write?: (reply: Reply, webhook: Webhook) => string;
}

/**
 * The routes that the carrier calls: `POST /carrier/…`. Nothing reaches the service before the signature, the account and
 * the line's number are proved. What the service throws goes on to express: a lost text must not be answered with a 200.
 * @throws RangeError when the auth token is too short to be one
 */
export function twilioWebhooks(options: TwilioWebhookOptions): express.Router {
  const isSigned = signatureCheck(options.authToken);
  const ours: Ours = { accountSid: options.accountSid, numbers: new Set(options.numbers) };
  const voices = options.voices ?? defaultVoices;
  const call = (reply: Reply, webhook: Webhook) =>
    callTwiml(
      reply,
      `${options.publicUrl}/carrier/keys?n=${nextKeyStep(webhook)}${reply.kind === 'ask' && reply.bound === true ? callOf(webhook) : ''}`,
      voices,
      options.recordingsUrl,
      {
        callerId: options.numbers[0] ?? '',
        endedUrl: `${options.publicUrl}/carrier/connect-ended?n=${nextKeyStep(webhook)}${callOf(webhook)}`,
      },
    );
  const { apologies } = options;
  const textApology = textTwiml({ kind: 'text', body: apologies.text });
  const callApology = callTwiml(
    { kind: 'say-and-end', say: apologies.call, language: apologies.language },
    '',
    voices,
  );

  const router = express.Router({ caseSensitive: true, strict: true });
  const signed =
    (answer: (webhook: Webhook, refuse: Refuse) => Promise<string | undefined>): express.RequestHandler =>
    async (request, response) => {
      const refuse: Refuse = (status, why) => {
        options.onRefused?.({ path: request.path, status, why });
        response.statusCode = status;
        response.setHeader('content-type', 'text/plain; charset=utf-8');
        response.end(refusals[status]);
        return undefined;
      };
      const body = await readFormBody(request);
      if (body.kind === 'refused') return refuse(body.status, 'body');
      const url = options.publicUrl + request.originalUrl;
      if (!isSigned({ url, fields: body.fields, signature: request.get('x-twilio-signature') })) {
        return refuse(403, 'signature');
      }
      const query = request.query as Webhook['query']; // Express 5 reads the query with node's querystring: same shape.
      const twiml = await answer({ fields: body.fields, query }, refuse);
      if (response.writableEnded) return;
      if (twiml === undefined) {
        response.statusCode = 204;
        response.end();
      } else {
        response.setHeader('content-type', 'text/xml; charset=utf-8');
        response.end(twiml);
      }
    };

  const routes: Readonly<Record<string, Route>> = {
    '/carrier/text': { read: readText, write: textTwiml },
    '/carrier/call': { read: readCall, write: call },
    '/carrier/answer': { read: readAnswer, write: call },
    '/carrier/keys': { read: readKeys, write: call },
    '/carrier/connect-ended': { read: readConnectEnded, write: call },
    '/carrier/call-status': { read: readCallStatus },
    '/carrier/receipt': { read: readReceipt },
  };
  for (const [path, route] of Object.entries(routes)) {
    router.post(
      path,
      signed(async (webhook, refuse) => {
        const reading = route.read(webhook, ours);
        if (reading.kind === 'refused') return refuse(reading.status, reading.why);
        if (reading.kind === 'ignored') return undefined;
        const reply = await options.service.receive(reading.inbound);
        return route.write?.(reply, webhook);
      }),
    );
  }
  // Asked when another route failed: they use neither the service nor the store.
  router.post(
    '/carrier/fallback-text',
    signed(async () => textApology),
  );
  router.post(
    '/carrier/fallback-call',
    signed(async () => callApology),
  );
  for (const path of [...Object.keys(routes), '/carrier/fallback-text', '/carrier/fallback-call']) {
    router.all(path, (request, response) => {
      request.resume();
      response.statusCode = 405;
      response.setHeader('allow', 'POST');
      response.end('Only POST is answered here.');
    });
  }
  return router;
}

/** Our id of the call goes from step to step in its addresses, which the signature covers: keys are bound to what was said. */
function callOf({ query }: Webhook): string {
  return typeof query.outbox === 'string' ? `&outbox=${encodeURIComponent(query.outbox)}` : '';
}

const refusals = {
  400: 'The request cannot be read.',
  403: 'The request is not for this line.',
  413: 'The request is too large.',
  415: 'Only forms in UTF-8 are read here.',
} as const;

type Refuse = (status: keyof typeof refusals, why: string) => undefined;
