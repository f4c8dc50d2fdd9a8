import type express from 'express';
import type { Inbound, Reply } from '../carrier.ts';
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
import { type AnswerWebhook, signedForms, type WebhookAnswer } from './signed-form.ts';
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
export function twilioWebhooks(options: TwilioWebhookOptions): express.RequestHandler {
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
  const text = (reply: Reply) =>
    textTwiml(
      reply,
      reply.kind === 'text' && reply.receiptId !== undefined
        ? `${options.publicUrl}/carrier/receipt?outbox=${encodeURIComponent(reply.receiptId)}`
        : undefined,
    );
  const { apologies } = options;
  const textApology = textTwiml({ kind: 'text', body: apologies.text });
  const callApology = callTwiml(
    { kind: 'say-and-end', say: apologies.call, language: apologies.language },
    '',
    voices,
  );

  const routes: Readonly<Record<string, Route>> = {
    '/carrier/text': { read: readText, write: text },
    '/carrier/call': { read: readCall, write: call },
    '/carrier/answer': { read: readAnswer, write: call },
    '/carrier/keys': { read: readKeys, write: call },
    '/carrier/connect-ended': { read: readConnectEnded, write: call },
    '/carrier/call-status': { read: readCallStatus },
    '/carrier/receipt': { read: readReceipt },
  };
  const nothing: WebhookAnswer = { kind: 'nothing' };
  const answerOf =
    ({ read, write }: Route): AnswerWebhook =>
    (webhook) => {
      const reading = read(webhook, ours);
      if (reading.kind === 'refused') return reading;
      if (reading.kind === 'ignored') return nothing;
      const written = options.service.receive(reading.inbound);
      return written.then((reply) =>
        write === undefined ? nothing : { kind: 'twiml', twiml: write(reply, webhook) },
      );
    };
  return signedForms(
    new Map<string, AnswerWebhook>([
      ...Object.entries(routes).map(([path, route]) => [path, answerOf(route)] as const),
      // Asked when another route failed: they use neither the service nor the store.
      ['/carrier/fallback-text', () => ({ kind: 'twiml', twiml: textApology })],
      ['/carrier/fallback-call', () => ({ kind: 'twiml', twiml: callApology })],
    ]),
    {
      publicUrl: options.publicUrl,
      isSigned,
      ...(options.onRefused === undefined ? {} : { onRefused: options.onRefused }),
    },
  );
}

/** Our id of the call goes from step to step in its addresses, which the signature covers: keys are bound to what was said. */
function callOf({ query }: Webhook): string {
  return typeof query.outbox === 'string' ? `&outbox=${encodeURIComponent(query.outbox)}` : '';
}
