import { setTimeout as sleep } from 'node:timers/promises';
import { carrierSignature } from '../stand-in/carrier-signature.ts';
import type { Answered } from './audit.ts';
import type { FleetProcess } from './fleet-process.ts';
import { wordsIn } from './found.ts';

/** The account that the fleet runs with. Numbers from Ofcom's range for fiction. */
export const account = {
  accountSid: `AC${'5f'.repeat(16)}`,
  authToken: 'a-token-for-the-fleet-0123456789',
  publicUrl: 'https://line.example.test',
  number: '+447700900008',
} as const;

/** Mothers who text, as the carrier brings their texts: again and again with the same id until one web process has them. */
export interface FleetLoad {
  /** By number, what each knows to have been taken, in the order in which she wrote. */
  readonly answered: ReadonlyMap<string, readonly Answered[]>;
  /** Tries that came back with anything but a 200. */
  readonly retries: number;
  /** She writes one text after what she wrote before; resolves when it was taken. */
  write(phone: string, body: string): Promise<void>;
  /** Resolves when everything written so far was taken. */
  settled(): Promise<void>;
}

/** How long the carrier waits for an answer here; 15 s outside, which would hold the run up. */
const answerWithinMs = 4_000;

export function fleetLoad(webs: readonly FleetProcess[]): FleetLoad {
  const answered = new Map<string, Answered[]>();
  const queues = new Map<string, Promise<void>>();
  let ids = 0;
  let retries = 0;
  const once = async (web: FleetProcess, fields: Readonly<Record<string, string>>) => {
    const url = `${account.publicUrl}/carrier/text`;
    const answer = await fetch(`${web.url}/carrier/text`, {
      method: 'POST',
      headers: {
        'content-type': 'application/x-www-form-urlencoded',
        'x-twilio-signature': carrierSignature(account.authToken, url, Object.entries(fields)),
      },
      body: new URLSearchParams(fields).toString(),
      signal: AbortSignal.timeout(answerWithinMs),
    });
    const body = await answer.text();
    return answer.status === 200 ? body : undefined;
  };
  const deliver = async (phone: string, body: string): Promise<void> => {
    ids += 1;
    const sid = `SM${ids.toString(16).padStart(32, '0')}`;
    const fields = {
      ...{ AccountSid: account.accountSid, ApiVersion: '2010-04-01', MessageSid: sid, SmsSid: sid },
      ...{ From: phone, To: account.number, Body: body, NumMedia: '0' },
    };
    for (let tries = ids; ; tries++) {
      const web = webs[tries % webs.length];
      const twiml = web === undefined ? undefined : await once(web, fields).catch(() => undefined);
      if (twiml !== undefined) {
        const kept = answered.get(phone) ?? [];
        kept.push({ text: body, reply: wordsIn(twiml) });
        answered.set(phone, kept);
        return;
      }
      retries += 1;
      await sleep(150);
    }
  };
  return {
    answered,
    get retries() {
      return retries;
    },
    write: (phone, body) => {
      const mine = (queues.get(phone) ?? Promise.resolve()).then(() => deliver(phone, body));
      queues.set(phone, mine);
      return mine;
    },
    settled: async () => {
      await Promise.all(queues.values());
    },
  };
}
