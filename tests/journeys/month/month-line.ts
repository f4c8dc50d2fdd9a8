import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import RequestClient from 'twilio/lib/base/RequestClient.js';
import { twilioCarrier } from '../../../src/channels/twilio/carrier.ts';
import { readConfig } from '../../../src/config.ts';
import type { LineState } from '../../../src/dialog/line.ts';
import type { Content } from '../../../src/dialog/world.ts';
import { loadContent } from '../../../src/programme/load-content.ts';
import { runLine } from '../../../src/running-line.ts';
import { lineIdOf, openSealer } from '../../../src/store/sealing.ts';
import { openSqliteStore } from '../../../src/store/sqlite/sqlite-store.ts';
import { carrierRest } from '../../stand-in/carrier-rest.ts';
import type { MonthRules } from './expected.ts';
import { zoneByPrefix } from './mothers.ts';

const minute = 60_000;
const pepper = 'a-pepper-for-the-month-0123456789';
/** What the month is about is when things happen, not that they outlive the power: waiting for a disk would be most of its time. */
const inMemory = '/dev/shm';
const lineNumber = '+447700900008';

/** What the stand-in took as to be sent. */
export interface SentText {
  readonly isCall: boolean;
  readonly at: number;
  readonly to: string;
  readonly body: string;
}

export interface MonthLine {
  readonly content: Content;
  readonly troubles: unknown[];
  readonly sent: SentText[];
  now(): number;
  /** What she sends; the words of the answer. */
  text(from: string, body: string): Promise<string>;
  /** Has something done at an instant of the month, on a whole minute. */
  at(instant: number, what: () => Promise<void>): void;
  /** Lets the clock go on minute by minute; at each, what people do comes first, then what falls due, then what waits to be sent. */
  run(until: number): Promise<void>;
  state(phone: string): Promise<LineState | undefined>;
  close(): Promise<void>;
}

/** The line as it runs: flows, store on disk, both workers, the carrier's own SDK against the stand-in; the clock alone is ours. */
export async function monthLine(rules: MonthRules, onSent: (sent: SentText) => void): Promise<MonthLine> {
  const dir = mkdtempSync(join(existsSync(inMemory) ? inMemory : tmpdir(), 'eightfeeds-month-'));
  let now = rules.startAt;
  const sent: SentText[] = [];
  const troubles: unknown[] = [];
  const content = loadContent();
  const clock = (minuteOfDay: number) =>
    `${String(Math.floor(minuteOfDay / 60)).padStart(2, '0')}:${String(minuteOfDay % 60).padStart(2, '0')}`;
  const { programme } = readConfig({
    TIME_ZONE: 'Asia/Kolkata',
    TIME_ZONES: Object.entries(zoneByPrefix)
      .map(([prefix, zone]) => `${prefix}:${zone}`)
      .join(','),
    WRITE_FROM: clock(rules.fromMinuteOfDay),
    WRITE_UNTIL: clock(rules.untilMinuteOfDay),
    TEXTS_A_DAY: String(rules.mostADay),
    FESTIVAL_DAYS: rules.festivalDays.join(','),
  });
  const rest = await carrierRest({
    timeoutMs: 20_000,
    onAccepted: ({ form, path }) => {
      const fields = Object.fromEntries(form);
      const isCall = path.endsWith('/Calls.json');
      const one = { at: now, to: fields['To'] ?? '', body: fields['Body'] ?? '', isCall };
      sent.push(one);
      onSent(one);
    },
  });
  const store = openSqliteStore({
    file: join(dir, 'line.db'),
    sealer: openSealer([{ id: 'month', key: Buffer.alloc(32, 9) }]),
  });
  const line = runLine({
    store,
    content,
    programme,
    clock: { now: () => now },
    carrier: twilioCarrier({
      accountSid: `AC${'5b'.repeat(16)}`,
      authToken: 'a-token-for-the-month-0123456789',
      sender: lineNumber,
      publicUrl: 'https://line.example.test',
      apiUrl: rest.url,
      httpClient: new RequestClient({ timeout: 20_000, keepAlive: true, maxSockets: 20 }),
    }),
    lineOf: (phone) => lineIdOf(phone, pepper),
    onTrouble: (error) => troubles.push(error),
  });
  const agenda = new Map<number, (() => Promise<void>)[]>();
  let texts = 0;
  return {
    content,
    troubles,
    sent,
    now: () => now,
    text: async (from, body) => {
      const id = `SM${(++texts).toString(16).padStart(32, '0')}`;
      const reply = await line.service.receive({ kind: 'text', id, from, to: lineNumber, body });
      return reply.kind === 'text' ? reply.body : '';
    },
    at: (instant, what) => {
      const at = Math.ceil(instant / minute) * minute;
      agenda.set(at, [...(agenda.get(at) ?? []), what]);
    },
    run: async (until) => {
      for (; now <= until; now += minute) {
        const doings = agenda.get(now) ?? [];
        agenda.delete(now);
        await Promise.all(doings.map((what) => what()));
        const { dueLines, waitingMessages } = await store.backlog(now);
        if (dueLines > 0 || waitingMessages > 0) await line.catchUp();
      }
    },
    state: async (phone) => {
      const stored = await store.load(lineIdOf(phone, pepper));
      return stored === undefined ? undefined : (JSON.parse(stored.state) as LineState);
    },
    close: async () => {
      await line.stop();
      await store.close();
      await rest.close();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}
