import { randomBytes } from 'node:crypto';
import type { OutgoingCall, OutgoingText } from '../carrier.ts';
import { type CallDesk, newCallDesk } from './call-desk.ts';
import { newPhones, type Phones } from './phones.ts';
import type { PracticeAccount } from './practice-account.ts';
import { readTwiml } from './read-twiml.ts';
import { type LineAddress, webhookPost } from './webhook-post.ts';

/** What the practice network needs. */
export interface PracticeNetworkOptions {
  readonly account: PracticeAccount;
  readonly line: LineAddress;
  /** The line's number, E.164, from a range reserved for fiction. */
  readonly lineNumber: string;
  /** The practice clock, epoch milliseconds: only for the times on the screens. */
  readonly now: () => number;
  /** Told when the line did not answer a webhook as it should. */
  readonly onTrouble?: (error: unknown) => void;
  /** Milliseconds in a second of waiting and speaking; tests shorten it. 1000 unless told. */
  readonly secondMs?: number;
}

/** A tiny invented carrier: phones in memory on one side, the line's webhooks on the other. It reaches no real phone. */
export interface PracticeNetwork {
  readonly phones: Phones;
  readonly calls: CallDesk;
  readonly lineNumber: string;
  /** A phone texts the line. The line's answer is on the phone's screen when the promise settles. Never rejects. */
  textLine(from: string, body: string): Promise<void>;
  /** The line texts a phone: it is on the screen at once; receipts follow. Returns the network's id of it. */
  deliver(message: OutgoingText): string;
  /** The line calls a phone. Returns the network's id of the call. */
  ring(call: OutgoingCall): string;
}

/** Makes a practice network. It starts nothing: it lives while it is used. */
export function practiceNetwork(options: PracticeNetworkOptions): PracticeNetwork {
  const post = webhookPost(options.account, options.line);
  const phones = newPhones(options.now);
  const trouble = options.onTrouble ?? (() => undefined);
  const calls = newCallDesk({
    phones,
    post,
    trouble,
    lineNumber: options.lineNumber,
    publicUrl: options.line.publicUrl,
    secondMs: options.secondMs ?? 1000,
  });
  const receipts = async (messageSid: string, message: Pick<OutgoingText, 'to'>, path: string) => {
    for (const status of ['sent', 'delivered']) {
      await post(path, {
        MessageSid: messageSid,
        SmsSid: messageSid,
        MessageStatus: status,
        SmsStatus: status,
        From: options.lineNumber,
        To: message.to,
      });
    }
  };
  /** Only the line's own address is told. */
  const receiptPath = (url: string | undefined): string | undefined =>
    url?.startsWith(`${options.line.publicUrl}/`) === true
      ? url.slice(options.line.publicUrl.length)
      : undefined;
  return {
    phones,
    calls,
    lineNumber: options.lineNumber,
    async textLine(from, body) {
      phones.add(from, 'sent', body);
      const sid = newSid('SM');
      try {
        const reply = await post('/carrier/text', {
          MessageSid: sid,
          SmsSid: sid,
          SmsMessageSid: sid,
          From: from,
          To: options.lineNumber,
          Body: body,
          NumMedia: '0',
          NumSegments: '1',
          SmsStatus: 'received',
        });
        for (const verb of readTwiml(reply)) {
          if (verb.kind === 'message') {
            phones.add(from, 'received', verb.text);
            const path = receiptPath(verb.statusCallback);
            if (path !== undefined)
              setImmediate(() => void receipts(newSid('SM'), { to: from }, path).catch(trouble));
          } else throw new SyntaxError(`A text was answered with ${verb.kind}.`);
        }
      } catch (error) {
        trouble(error);
        phones.add(from, 'remark', 'not-sent');
      }
    },
    deliver(message) {
      const sid = newSid('SM');
      phones.add(message.to, 'received', message.body);
      const path = `/carrier/receipt?outbox=${encodeURIComponent(message.id)}`;
      setImmediate(() => void receipts(sid, message, path).catch(trouble));
      return sid;
    },
    ring: (call) => calls.ring(newSid('CA'), call),
  };
}

/** A new identifier in the carrier's shape. */
function newSid(prefix: 'SM' | 'CA'): string {
  return prefix + randomBytes(16).toString('hex');
}
