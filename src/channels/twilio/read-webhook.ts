import type { ParsedUrlQuery } from 'node:querystring';
import type { Inbound } from '../carrier.ts';
import { callerNumber } from './caller-number.ts';
import { faultOf } from './carrier-faults.ts';

/** A webhook whose signature was proved: its form fields and the query of its address. */
export interface Webhook {
  readonly fields: Readonly<ParsedUrlQuery>;
  readonly query: Readonly<ParsedUrlQuery>;
}

/** Which account and numbers are ours. */
export interface Ours {
  readonly accountSid: string;
  readonly numbers: ReadonlySet<string>;
}

/** What a webhook says, or that there is nothing to do, or why it is refused: 403 not for us, 400 not readable. */
export type WebhookReading =
  | { readonly kind: 'inbound'; readonly inbound: Inbound }
  | { readonly kind: 'ignored' }
  | { readonly kind: 'refused'; readonly status: 400 | 403; readonly why: string };

/** Reads one kind of webhook. */
export type WebhookReader = (webhook: Webhook, ours: Ours) => WebhookReading;

/** A mother's or counsellor's text. */
export const readText: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, need, optional }) => {
    const id = sid('MessageSid', /^(SM|MM)[0-9a-f]{32}$/i);
    const from = callerNumber(need('From'));
    const to = ourNumber(need('To'), ours);
    return { kind: 'text', id, from, to, body: optional('Body') ?? '' };
  });

/** Someone rings the line. */
export const readCall: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, need }) => {
    const callId = sid('CallSid', callSid);
    const to = ourNumber(need('To'), ours);
    return { kind: 'call-rang', id: `${callId}:rang`, from: callerNumber(need('From')), to };
  });

/** A call that the line placed was answered. */
export const readAnswer: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, outbox, party, optional }) => {
    const callId = sid('CallSid', callSid);
    const answeredBy = optional('AnsweredBy');
    return {
      kind: 'call-answered',
      id: `${callId}:answered`,
      callId,
      party: party(),
      outboxId: outbox(),
      ...(answeredBy === undefined ? {} : { answeredBy: isMachine(answeredBy) ? 'machine' : 'person' }),
    };
  });

/** The carrier tells human, fax, unknown, machine_start and machine_end_…; who is not known is taken for a person. From memory. */
function isMachine(answeredBy: string): boolean {
  return answeredBy.startsWith('machine') || answeredBy === 'fax';
}

/** Keys were pressed, or none in time. Anything but keys counts as none: she is asked again. */
export const readKeys: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, party, optional, outbox }) => {
    const callId = sid('CallSid', callSid);
    const digits = optional('Digits') ?? '';
    const outboxId = outbox();
    return {
      kind: 'keys',
      id: `${callId}:keys:${keyStep(webhook)}`,
      callId,
      party: party(),
      digits: /^[0-9*#]{0,64}$/.test(digits) ? digits : '',
      ...(outboxId === undefined ? {} : { outboxId }),
    };
  });

/** A counsellor's call was to be connected to a mother, and that is over. Anything but an answered call counts as not reached. */
export const readConnectEnded: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, need, outbox, party }) => {
    const callId = sid('CallSid', callSid);
    const status = need('DialCallStatus');
    if (!/^[a-z-]{1,32}$/.test(status)) throw new Refusal(400, 'DialCallStatus');
    return {
      kind: 'connect-ended',
      id: `${callId}:connected:${keyStep(webhook)}`,
      callId,
      party: party(),
      outboxId: outbox(),
      answered: status === 'completed' || status === 'answered',
      status,
    };
  });

/** A call ended. Reports of calls still going on are ignored. */
export const readCallStatus: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, need, outbox, party }) => {
    const callId = sid('CallSid', callSid);
    const status = need('CallStatus');
    if (!endedCall.has(status)) return undefined;
    return { kind: 'call-ended', id: `${callId}:ended`, callId, party: party(), status, outboxId: outbox() };
  });

/** What became of a text that was sent. */
export const readReceipt: WebhookReader = (webhook, ours) =>
  read(webhook, ours, ({ sid, need, optional, outbox }) => {
    const carrierId = sid('MessageSid', /^(SM|MM)[0-9a-f]{32}$/i);
    const status = need('MessageStatus');
    if (!/^[a-z_-]{1,32}$/.test(status)) throw new Refusal(400, 'MessageStatus');
    const outboxId = outbox();
    if (outboxId === undefined) throw new Refusal(400, 'outbox');
    const given = optional('ErrorCode');
    const errorCode = given !== undefined && /^\d{1,6}$/.test(given) ? Number(given) : undefined;
    return {
      kind: 'receipt',
      id: `${carrierId}:${status}`,
      outboxId,
      carrierId,
      status,
      errorCode,
      ...(errorCode === undefined ? {} : { fault: faultOf(errorCode) }),
    };
  });

/**
 * Which answer of a call this is, counted from 1: it stands in the address that the line itself gave, so that the same
 * webhook sent twice has the same step, and the next press another.
 * @throws Refusal (400) when the address is not one of ours
 */
function keyStep(webhook: Webhook): number {
  const step = webhook.query.n;
  if (typeof step !== 'string' || !/^[1-9]\d{0,3}$/.test(step)) throw new Refusal(400, 'n');
  return Number(step);
}

/** The step to put into the next address of a call: one more than that of this webhook. At most 10,000. */
export function nextKeyStep(webhook: Webhook): number {
  return typeof webhook.query.n === 'string' && /^[1-9]\d{0,3}$/.test(webhook.query.n)
    ? Number(webhook.query.n) + 1
    : 1;
}

const callSid = /^CA[0-9a-f]{32}$/i;
const endedCall: ReadonlySet<string> = new Set(['completed', 'busy', 'failed', 'no-answer', 'canceled']);

class Refusal extends Error {
  readonly status: 400 | 403;
  constructor(status: 400 | 403, field: string) {
    super(field);
    this.status = status;
  }
}

interface FieldReader {
  /** A field that must be there once. */
  need(name: string): string;
  /** A field that may be missing, but not twice. */
  optional(name: string): string | undefined;
  /** An identifier of the carrier. */
  sid(name: string, pattern: RegExp): string;
  /** Our own id of the message or call, from the address. */
  outbox(): string | undefined;
  /** The number at the other end of a call, whichever side placed it. */
  party(): string | undefined;
}

function read(
  webhook: Webhook,
  ours: Ours,
  of: (reader: FieldReader) => Inbound | undefined,
): WebhookReading {
  const optional = (name: string): string | undefined => {
    const value = webhook.fields[name];
    if (Array.isArray(value)) throw new Refusal(400, name);
    return value;
  };
  const need = (name: string): string => {
    const value = optional(name);
    if (value === undefined || value === '') throw new Refusal(400, name);
    return value;
  };
  const reader: FieldReader = {
    need,
    optional,
    sid(name, pattern) {
      const value = need(name);
      if (!pattern.test(value)) throw new Refusal(400, name);
      return value;
    },
    outbox() {
      const value = webhook.query.outbox;
      if (value === undefined) return undefined;
      if (typeof value !== 'string' || value.length === 0 || value.length > 200)
        throw new Refusal(400, 'outbox');
      return value;
    },
    party() {
      const from = need('From');
      const to = need('To');
      if (ours.numbers.has(to)) return callerNumber(from);
      if (ours.numbers.has(from)) return callerNumber(to);
      throw new Refusal(403, 'To');
    },
  };
  try {
    if (need('AccountSid') !== ours.accountSid) throw new Refusal(403, 'AccountSid');
    const inbound = of(reader);
    return inbound === undefined ? { kind: 'ignored' } : { kind: 'inbound', inbound };
  } catch (error) {
    if (error instanceof Refusal) return { kind: 'refused', status: error.status, why: error.message };
    throw error;
  }
}

function ourNumber(to: string, ours: Ours): string {
  if (!ours.numbers.has(to)) throw new Refusal(403, 'To');
  return to;
}
