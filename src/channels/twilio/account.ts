import type RequestClient from 'twilio/lib/base/RequestClient.js';
import Twilio from 'twilio/lib/rest/Twilio.js';
import { carrierError } from './carrier-error.ts';

/** Where an account sends what comes in; null where nothing is set. */
export interface InboundAddresses {
  readonly text: string | null;
  readonly textFallback: string | null;
  readonly call: string | null;
  readonly callFallback: string | null;
}

/** What the carrier itself says of the account. */
export interface AccountFacts {
  readonly status: string;
  readonly isTrial: boolean;
  /** Undefined: the account owns no such number. */
  readonly number:
    | (InboundAddresses & { readonly takesTexts: boolean; readonly takesCalls: boolean })
    | undefined;
  /** The messaging service, when one is set; its own address for texts, or null when it leaves them to the number. */
  readonly service: { readonly text: string | null; readonly hasNumber: boolean } | undefined;
}

/**
 * Asks the carrier what it knows of the account. Nothing is changed and nothing is sent.
 * @throws CarrierRefused when the credentials open nothing; CarrierUnreachable when there is no answer
 */
export async function accountFacts(options: {
  readonly accountSid: string;
  readonly authToken: string;
  readonly number: string;
  readonly messagingServiceSid: string | undefined;
  readonly apiUrl?: string | undefined;
  readonly httpClient?: RequestClient;
}): Promise<AccountFacts> {
  const { accountSid, authToken, number, messagingServiceSid, apiUrl, httpClient } = options;
  try {
    const client = new Twilio(accountSid, authToken, httpClient === undefined ? {} : { httpClient });
    if (apiUrl !== undefined) {
      client.api.baseUrl = apiUrl;
      client.messaging.baseUrl = apiUrl;
    }
    const account = await client.api.v2010.accounts(accountSid).fetch();
    const [owned] = await client.incomingPhoneNumbers.list({ phoneNumber: number, limit: 1 });
    let service: AccountFacts['service'];
    if (messagingServiceSid !== undefined) {
      const asked = client.messaging.v1.services(messagingServiceSid);
      const set = await asked.fetch();
      const senders = await asked.phoneNumbers.list({ limit: 400 });
      service = {
        text: set.useInboundWebhookOnNumber || !set.inboundRequestUrl ? null : set.inboundRequestUrl,
        hasNumber: senders.some((s) => s.phoneNumber === number),
      };
    }
    return {
      status: account.status,
      isTrial: account.type === 'Trial',
      number: owned && {
        takesTexts: owned.capabilities.sms,
        takesCalls: owned.capabilities.voice,
        text: addressOf(owned.smsUrl),
        textFallback: addressOf(owned.smsFallbackUrl),
        call: addressOf(owned.voiceUrl),
        callFallback: addressOf(owned.voiceFallbackUrl),
      },
      service,
    };
  } catch (error) {
    throw carrierError('question', error);
  }
}

function addressOf(url: string | null | undefined): string | null {
  return url === undefined || url === null || url === '' ? null : url;
}
