import type { RequestHandler, Router } from 'express';
import type { Carrier, Inbound, Reply } from '../carrier.ts';
import { twilioCarrier } from './carrier.ts';
import { type TwilioWebhookOptions, twilioWebhooks } from './webhooks.ts';

/** What both channels need to be put together. */
export interface ChannelParts {
  readonly config: {
    readonly programme: {
      readonly timeZone: string;
      readonly emergencyNumber: string;
      readonly language: string;
      readonly counsellors: readonly { readonly name: string; readonly phone: string }[];
    };
  };
  readonly content: {
    readonly wording: {
      say(
        key: string,
        values: Readonly<Record<string, string | number>>,
        language: string,
        channel: 'text' | 'voice',
      ): string;
    };
  };
  /** Where the carrier reaches us. */
  readonly publicUrl: string;
  /** Where this server listens. */
  readonly localUrl: string;
  readonly clock: { now(): number };
  readonly onTrouble: (error: unknown) => void;
  readonly onRefused: NonNullable<TwilioWebhookOptions['onRefused']>;
}

export interface LineChannel {
  readonly carrier: Carrier;
  routes(
    service: { receive(inbound: Inbound): Promise<Reply> },
    forward: (ms: number) => Promise<void>,
  ): { readonly webhooks: RequestHandler; readonly practice?: Router };
}

export function apologiesOf({ config, content }: ChannelParts) {
  const { emergencyNumber: emergency, language } = config.programme;
  return {
    text: content.wording.say('apology', { emergency }, language, 'text'),
    call: content.wording.say('apology', { emergency }, language, 'voice'),
    language,
  };
}

/** The real carrier: its account sends, and its webhooks are proved with the account's secret. */
export function twilioLine(
  parts: ChannelParts,
  account: {
    readonly accountSid: string;
    readonly authToken: string;
    readonly number: string;
    readonly messagingServiceSid: string | undefined;
    readonly detectMachines: boolean;
    readonly apiUrl: string | undefined;
  },
): LineChannel {
  const { publicUrl } = parts;
  const { accountSid, authToken, number, messagingServiceSid, detectMachines, apiUrl } = account;
  return {
    carrier: twilioCarrier({
      accountSid,
      authToken,
      sender: number,
      publicUrl,
      detectMachines,
      ...(messagingServiceSid === undefined ? {} : { messagingServiceSid }),
      ...(apiUrl === undefined ? {} : { apiUrl }),
    }),
    routes: (service) => ({
      webhooks: twilioWebhooks({
        accountSid,
        authToken,
        numbers: [number],
        publicUrl,
        service,
        onRefused: parts.onRefused,
        apologies: apologiesOf(parts),
        recordingsUrl: `${publicUrl}/recordings`,
      }),
    }),
  };
}
