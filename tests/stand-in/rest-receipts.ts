import { carrierSignature } from './carrier-signature.ts';
import { field, kindOf, type RestRequest } from './rest-answers.ts';

/** How receipts come back to the line. */
export interface ReceiptOptions {
  readonly authToken: string;
  /** Where the line really listens, without a slash at the end; the path comes from the message's own address. */
  readonly listenUrl: () => string;
  /** Chances, 0 to 1: that a receipt never comes, comes twice, that a message's receipts come in another order. */
  readonly lost?: number;
  readonly repeated?: number;
  readonly shuffled?: number;
  /** How many are not delivered, with the carrier's number for why. */
  readonly undelivered?: number;
  readonly errorCode?: number;
  /** Longest wait before a receipt, ms; 20 unless told. */
  readonly latestMs?: number;
}

/**
 * Posts what became of a text as the carrier does: signed, to the address that came with it. The usual path is queued (never told),
 * sending, sent, then delivered or undelivered; of a call only its end is told.
 * @returns how to wait until all are posted
 */
export function receiptPoster(options: ReceiptOptions, random: () => number) {
  const underWay = new Set<Promise<void>>();
  const posted: { readonly sid: string; readonly status: string; readonly code: number }[] = [];
  const post = async (url: string, fields: Readonly<Record<string, string>>, afterMs: number) => {
    await new Promise((resolve) => setTimeout(resolve, afterMs));
    const { pathname, search } = new URL(url);
    const signature = carrierSignature(options.authToken, url, Object.entries(fields));
    // Like the carrier: a status callback that fails is not tried again.
    const answer = await fetch(options.listenUrl() + pathname + search, {
      method: 'POST',
      headers: { 'content-type': 'application/x-www-form-urlencoded', 'x-twilio-signature': signature },
      body: new URLSearchParams(fields).toString(),
      signal: AbortSignal.timeout(15_000),
    }).catch(() => undefined);
    const status = fields['MessageStatus'] ?? fields['CallStatus'] ?? '';
    posted.push({ sid: fields['MessageSid'] ?? fields['CallSid'] ?? '', status, code: answer?.status ?? 0 });
  };
  return {
    posted,
    /** Begins to tell what became of an accepted request. */
    tell(request: RestRequest, sid: string): void {
      const url = field(request, 'StatusCallback');
      if (url === undefined) return;
      const isCall = kindOf(request) === 'call';
      const failed = random() < (options.undelivered ?? 0);
      const statuses = isCall
        ? ['no-answer']
        : ['sending', 'sent', failed ? 'undelivered' : 'delivered'].flatMap((s) =>
            random() < (options.lost ?? 0) ? [] : random() < (options.repeated ?? 0) ? [s, s] : [s],
          );
      if (random() < (options.shuffled ?? 0)) shuffle(statuses, random);
      const shared = {
        AccountSid: request.path.split('/')[3] ?? '',
        ApiVersion: '2010-04-01',
        From: field(request, 'From') ?? '',
        To: field(request, 'To') ?? '',
      };
      let afterMs = 0;
      for (const status of statuses) {
        afterMs += 1 + random() * ((options.latestMs ?? 20) / 3);
        const fields = isCall
          ? { ...shared, CallSid: sid, CallStatus: status }
          : { ...shared, MessageSid: sid, SmsSid: sid, MessageStatus: status, SmsStatus: status };
        const code = status === 'undelivered' ? { ErrorCode: String(options.errorCode ?? 30003) } : {};
        const one = post(url, { ...fields, ...code }, afterMs).finally(() => underWay.delete(one));
        underWay.add(one);
      }
    },
    async settled(): Promise<void> {
      while (underWay.size > 0) await Promise.all(underWay);
    },
  };
}

function shuffle<T>(items: T[], random: () => number): void {
  for (let i = items.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [items[i], items[j]] = [items[j] as T, items[i] as T];
  }
}
