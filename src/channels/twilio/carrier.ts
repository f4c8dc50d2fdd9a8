import { AsyncLocalStorage } from 'node:async_hooks';
import RequestClient from 'twilio/lib/base/RequestClient.js';
import Twilio from 'twilio/lib/rest/Twilio.js';
import { CarrierUnreachable } from '../../errors.ts';
import type { Carrier } from '../carrier.ts';
import { carrierError, retryAfterOf } from './carrier-error.ts';

/** How to send through the account. Exactly one of `sender` and `messagingServiceSid` sends texts. */
export interface TwilioCarrierOptions {
  readonly accountSid: string;
  readonly authToken: string;
  /** The line's number, E.164: calls are placed from it, and texts when there is no messaging service. */
  readonly sender: string;
  readonly messagingServiceSid?: string;
  /** The carrier finds out whether a machine answers, and tells with the answer. */
  readonly detectMachines?: boolean;
  /** Where the carrier reaches our webhooks, without a slash at the end. */
  readonly publicUrl: string;
  /** Milliseconds to wait for an answer; 10,000 unless told. Ignored with an own `httpClient`. */
  readonly timeoutMs?: number;
  /** A stand-in for the carrier's API, without a slash at the end; the carrier itself unless told. */
  readonly apiUrl?: string;
  readonly httpClient?: RequestClient;
}

/** Seconds a called phone rings: under the half minute after which many networks go to an answering machine. */
const ringSeconds = 25;

/**
 * The carrier, through its SDK. It tries once: waiting and trying again belong to the outbox, which knows what is urgent.
 * Numbers and words are not kept at the carrier longer than it must, are never logged and never in an error.
 */
export function twilioCarrier(options: TwilioCarrierOptions): Carrier {
  const http = options.httpClient ?? new RequestClient({ timeout: options.timeoutMs ?? 10_000 });
  const { sent, account } = asking(http);
  const client = new Twilio(options.accountSid, options.authToken, { httpClient: account });
  if (options.apiUrl !== undefined) client.api.baseUrl = options.apiUrl;
  const address = (path: string, id: string) =>
    `${options.publicUrl}/carrier/${path}?outbox=${encodeURIComponent(id)}`;
  const textSender =
    options.messagingServiceSid === undefined
      ? { from: options.sender }
      : { messagingServiceSid: options.messagingServiceSid };
  return {
    name: 'twilio',
    sendText: (message) =>
      sent('text', () =>
        client.messages.create({
          ...textSender,
          to: message.to,
          body: message.body,
          statusCallback: address('receipt', message.id),
          ...(message.validForSeconds === undefined ? {} : { validityPeriod: message.validForSeconds }),
        }),
      ),
    placeCall: (call) =>
      sent('call', () =>
        client.calls.create({
          from: options.sender,
          to: call.to,
          url: address('answer', call.id),
          method: 'POST',
          fallbackUrl: `${options.publicUrl}/carrier/fallback-call`,
          fallbackMethod: 'POST',
          statusCallback: address('call-status', call.id),
          statusCallbackMethod: 'POST',
          statusCallbackEvent: ['completed'],
          timeout: ringSeconds,
          ...(options.detectMachines === true ? { machineDetection: 'Enable' } : {}),
        }),
      ),
  };
}

/** What an answer's `Retry-After` asked for, of the one request under way. */
interface Asked {
  retryAfterMs?: number | undefined;
}

/**
 * The SDK throws away the headers of a refusal, and `Retry-After` is one: it is noted as the answer passes by. Each request has a
 * note of its own, since many are under way at once.
 */
function asking(http: RequestClient) {
  const notes = new AsyncLocalStorage<Asked>();
  const account = Object.create(http) as RequestClient;
  account.request = async (request) => {
    const response = await http.request(request);
    const note = notes.getStore();
    const headers = response as { readonly headers?: Readonly<Record<string, unknown>> };
    if (note !== undefined) note.retryAfterMs = retryAfterOf(headers.headers?.['retry-after'], Date.now());
    return response;
  };
  /** @throws CarrierRefused, CarrierUnreachable */
  const sent = async (
    what: 'text' | 'call',
    create: () => Promise<{ readonly sid: unknown }>,
  ): Promise<{ readonly carrierId: string }> => {
    const note: Asked = {};
    let sid: unknown;
    try {
      // Inside the try also because the SDK throws, and does not reject, when a field is missing.
      sid = (await notes.run(note, create)).sid;
    } catch (error) {
      throw carrierError(what, error, note.retryAfterMs);
    }
    if (typeof sid !== 'string' || sid === '') {
      throw new CarrierUnreachable(`The carrier took the ${what} but gave no id for it.`, true);
    }
    return { carrierId: sid };
  };
  return { sent, account };
}
