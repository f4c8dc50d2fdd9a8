import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { getExpectedTwilioSignature } from 'twilio/lib/webhooks/webhooks.js';
import type { OutgoingCall, OutgoingText } from '../../src/channels/carrier.ts';
import { twilioWebhooks } from '../../src/channels/twilio/webhooks.ts';
import { readConfig } from '../../src/config.ts';
import type { LineState } from '../../src/dialog/line.ts';
import type { Content, Programme } from '../../src/dialog/world.ts';
import { loadContent } from '../../src/programme/load-content.ts';
import { moveForward, runLine } from '../../src/running-line.ts';
import { openRedisStore } from '../../src/store/redis/redis-store.ts';
import { lineIdOf, openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../src/store/store.ts';
import { webApp } from '../../src/web/app.ts';
import { type JourneyStore, journeyRedis, noteWalked } from './each-store.ts';
import { keptIn } from './kept.ts';

/** Numbers from Ofcom's range for fiction. */
export const numbers = {
  line: '+447700900008',
  mother: '+447700900123',
  stranger: '+447700900321',
  anita: '+447700900011',
  mary: '+447700900012',
} as const;

const accountSid = `AC${'7e'.repeat(16)}`;
const authToken = 'a-token-for-journeys-0123456789';
const publicUrl = 'https://line.example.test';
const pepper = 'a-pepper-for-journeys-0123456789';
const sealingKeys = `test:${Buffer.alloc(32, 7).toString('base64')}`;

/** What the stand-in carrier was asked to send. */
export type Sent =
  | ({ readonly kind: 'text'; readonly at: number } & OutgoingText)
  | ({ readonly kind: 'call'; readonly at: number } & OutgoingCall);

/** Posts one signed webhook; every journey goes through it, so that a replay can repeat each. */
export type Post = (path: string, fields: Readonly<Record<string, string>>) => Promise<Response>;

export interface JourneyLine {
  readonly content: Content;
  readonly programme: Programme;
  readonly store: Store;
  /** All that went out, in order. */
  readonly sent: Sent[];
  readonly troubles: unknown[];
  now(): number;
  /** Moves the clock, stopping at each due time on the way. */
  forward(ms: number): Promise<void>;
  /** Carries out what is due now and sends what waits. */
  catchUp(): Promise<void>;
  /** One webhook, signed as the carrier does; the raw answer. */
  post: Post;
  /** The same without a right to it: `fields` and `headers` as given. */
  postRaw(path: string, body: string, headers: Readonly<Record<string, string>>): Promise<Response>;
  sign(path: string, fields: Readonly<Record<string, string>>): string;
  state(phone: string): Promise<LineState | undefined>;
  journal(phone: string): Promise<readonly { readonly kind: string; readonly body: unknown }[]>;
  close(): Promise<void>;
}

/** On Redis a line is packed almost as soon as it rests, so that journeys are walked over packed lines too. */
const restMs = 100;

async function openStore(on: JourneyStore, dir: string): Promise<Store> {
  const keys = readSealingKeys(sealingKeys);
  if (on === 'sqlite') return openSqliteStore({ file: join(dir, 'line.db'), sealer: openSealer(keys) });
  const sealer = openSealer(keys, { deflateFrom: 1_024 });
  return openRedisStore({ ...(await journeyRedis()), sealer, restMs });
}

/** Flows and words, read once for all journeys of a file: a line never changes them. */
const content = loadContent();

/** The line as it runs, put together from its own parts: HTTP, store on disk, both workers; carrier and clock are ours. */
export async function journeyLine(startAt: number, on: JourneyStore): Promise<JourneyLine> {
  const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-journey-'));
  let at = startAt;
  const clock = {
    now: () => at,
    moveTo: (to: number) => {
      at = Math.max(at, to);
    },
  };
  const store = await openStore(on, dir);
  const { programme } = readConfig({ TIME_ZONE: 'Asia/Kolkata' });
  const sent: Sent[] = [];
  const troubles: unknown[] = [];
  const line = runLine({
    store,
    clock,
    content,
    programme,
    carrier: {
      name: 'stand-in',
      sendText: async (message) => {
        sent.push({ kind: 'text', at, ...message });
        return { carrierId: sid('SM', `out ${sent.length}`) };
      },
      placeCall: async (call) => {
        sent.push({ kind: 'call', at, ...call });
        return { carrierId: sid('CA', `out ${sent.length}`) };
      },
    },
    lineOf: (phone) => lineIdOf(phone, pepper),
    onTrouble: (error) => troubles.push(error),
  });
  const server = createServer(
    webApp({
      carrierWebhooks: twilioWebhooks({
        accountSid,
        authToken,
        numbers: [numbers.line],
        publicUrl,
        service: line.service,
        apologies: { text: 'Sorry.', call: 'Sorry.', language: 'en' },
      }),
      health: async () => ({ ready: true, parts: {} }),
      log: { error: (fields) => troubles.push(fields) },
    }),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const sign = (path: string, fields: Readonly<Record<string, string>>) =>
    getExpectedTwilioSignature(authToken, publicUrl + path, fields);
  const postRaw: JourneyLine['postRaw'] = (path, body, headers) =>
    fetch(base + path, {
      method: 'POST',
      headers: { 'content-type': 'application/x-www-form-urlencoded', ...headers },
      body,
    });
  return {
    content,
    programme,
    store,
    sent,
    troubles,
    now: () => at,
    forward: (ms) => moveForward(line, store, clock, ms),
    catchUp: () => line.catchUp(),
    sign,
    postRaw,
    post: (path, fields) => {
      const all = { AccountSid: accountSid, ApiVersion: '2010-04-01', ...fields };
      return postRaw(path, new URLSearchParams(all).toString(), { 'x-twilio-signature': sign(path, all) });
    },
    state: async (phone) => {
      const stored = await store.load(lineIdOf(phone, pepper));
      return stored === undefined ? undefined : (JSON.parse(stored.state) as LineState);
    },
    journal: async (phone) => {
      const entries = await store.journal(lineIdOf(phone, pepper), 10_000);
      return entries.map(({ kind, body }) => ({ kind, body: JSON.parse(body) as unknown }));
    },
    close: async () => {
      await new Promise<void>((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      });
      await line.stop();
      noteWalked(on, await keptIn(store, sent));
      await store.close();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

/** An id shaped as the carrier's, always the same for the same name. */
export function sid(prefix: 'SM' | 'CA', name: string): string {
  return prefix + Buffer.from(name).toString('hex').padStart(32, '0').slice(-32);
}
