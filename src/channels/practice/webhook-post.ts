import { getExpectedTwilioSignature } from 'twilio/lib/webhooks/webhooks.js';
import type { PracticeAccount } from './practice-account.ts';

/** Where the line listens and how it is called. */
export interface LineAddress {
  /** The public address that the line was told: it is what gets signed, and what begins each address in a reply. */
  readonly publicUrl: string;
  /** Where the line really listens; asked anew for each webhook, because the port may be given only on listening. */
  readonly listenUrl: () => string;
}

/** Posts one signed form to a route of the line; the body of the answer. @throws Error when it is no 2xx in 15 s */
export type PostWebhook = (path: string, fields: Readonly<Record<string, string>>) => Promise<string>;

/** Longest wait for the line's answer; what the carrier waits. */
const answerWithinMs = 15_000;

/**
 * Posts webhooks as the carrier does: signed, over HTTP. When a route fails and has a fallback, that is asked instead.
 */
export function webhookPost(account: PracticeAccount, line: LineAddress): PostWebhook {
  const once: PostWebhook = async (path, fields) => {
    const answer = await fetch(line.listenUrl() + path, {
      method: 'POST',
      headers: {
        'content-type': 'application/x-www-form-urlencoded',
        'x-twilio-signature': getExpectedTwilioSignature(account.authToken, line.publicUrl + path, fields),
      },
      body: new URLSearchParams(fields).toString(),
      signal: AbortSignal.timeout(answerWithinMs),
    });
    const body = await answer.text();
    if (!answer.ok) throw new Error(`The line answered ${path.split('?')[0]} with ${answer.status}.`);
    return body;
  };
  return async (path, fields) => {
    const all = { AccountSid: account.accountSid, ApiVersion: '2010-04-01', ...fields };
    try {
      return await once(path, all);
    } catch (error) {
      const route = path.split('?')[0] ?? '';
      const fallback = fallbacks[route];
      if (fallback === undefined) throw error;
      return once(fallback, { ...all, ErrorCode: '11200', ErrorUrl: line.publicUrl + path });
    }
  };
}

/** As an operator is told to set them at the carrier. */
const fallbacks: Readonly<Record<string, string>> = {
  '/carrier/text': '/carrier/fallback-text',
  '/carrier/call': '/carrier/fallback-call',
  '/carrier/answer': '/carrier/fallback-call',
  '/carrier/keys': '/carrier/fallback-call',
};
