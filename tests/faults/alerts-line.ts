import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readConfig } from '../../src/config.ts';
import type { LineState } from '../../src/dialog/line.ts';
import type { Programme } from '../../src/dialog/world.ts';
import { CarrierRefused, CarrierUnreachable } from '../../src/errors.ts';
import { loadContent } from '../../src/programme/load-content.ts';
import { moveForward, runLine, type RunningLine } from '../../src/running-line.ts';
import { lineIdOf, openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { OutboxRecord, Store } from '../../src/store/store.ts';

const content = loadContent();
const pepper = 'a-pepper-for-alerts-0123456789';
const sealer = openSealer(readSealingKeys(`test:${Buffer.alloc(32, 5).toString('base64')}`));

/** Two counsellors and a lead, all with numbers from Ofcom's range for fiction. */
export const programme: Programme = readConfig({
  TIME_ZONE: 'Asia/Kolkata',
  COUNSELLORS: 'anita:Anita:+447700900001:en,priya:Priya:+447700900002:en,mary:Mary:+447700900003:en:lead',
}).programme;
export const counsellorPhones: ReadonlyMap<string, string> = new Map(
  programme.counsellors.map((c) => [c.id, c.phone]),
);

/** What the carrier does with one message. */
export type CarrierMood = 'takes' | 'refuses' | 'unreachable' | 'loses-answer';

/** One try to send, as the carrier saw it. */
export interface Attempt {
  readonly id: string;
  readonly to: string;
  readonly at: number;
  readonly kind: 'text' | 'call';
  readonly taken: boolean;
}

/** Thrown by a store whose process is dead: whatever was going on, nothing of it goes on. */
class Died extends Error {}

/** A line on one disk that can die and start again; the clock and the carrier are in the test's hands. */
export interface AlertsLine {
  readonly attempts: Attempt[];
  now(): number;
  /** Store calls so far in this life: the steps at which it can die. */
  steps(): number;
  /** The process dies at that store call of this life: before it is carried out, or after, with its answer lost. */
  dieAt(step: number, when: 'before' | 'after'): void;
  isDead(): boolean;
  /** A new process on the same disk. */
  restart(): Promise<void>;
  /** One text from a number; undefined when the process died over it. */
  text(from: string, id: string, body: string): Promise<string | undefined>;
  tick(ms: number): Promise<void>;
  forward(ms: number): Promise<void>;
  state(phone: string): Promise<LineState | undefined>;
  journal(
    phone: string,
  ): Promise<readonly { readonly kind: string; readonly body: Record<string, unknown> }[]>;
  message(id: string): Promise<OutboxRecord | undefined>;
  close(): Promise<void>;
}

export function alertsLine(startAt: number, mood: (attempt: number) => CarrierMood): AlertsLine {
  const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-alerts-'));
  const attempts: Attempt[] = [];
  let at = startAt;
  const clock = { now: () => at, moveTo: (to: number) => void (at = Math.max(at, to)) };
  let disk: Store;
  let line: RunningLine;
  let steps = 0;
  let death: { readonly step: number; readonly when: 'before' | 'after' } | undefined;
  let dead = false;

  const mortal = (store: Store): Store =>
    new Proxy(store, {
      get: (target, name) => {
        const method: unknown = Reflect.get(target, name);
        if (typeof method !== 'function' || name === 'close') return method;
        return async (...args: unknown[]) => {
          if (dead) throw new Died();
          const step = ++steps;
          const dies = death?.step === step;
          if (dies && death?.when === 'before') dead = true;
          if (dead) throw new Died();
          const result: unknown = await (method as (...a: unknown[]) => Promise<unknown>).apply(target, args);
          if (dies) dead = true;
          if (dead) throw new Died();
          return result;
        };
      },
    });

  const send = async (kind: Attempt['kind'], id: string, to: string) => {
    const what = mood(attempts.length);
    attempts.push({ id, to, at, kind, taken: what === 'takes' || what === 'loses-answer' });
    if (what === 'refuses') throw new CarrierRefused('no', 400, 21_211);
    if (what === 'unreachable') throw new CarrierUnreachable('no answer', false);
    if (what === 'loses-answer') throw new CarrierUnreachable('answer lost', true);
    return { carrierId: `${kind} ${attempts.length}` };
  };
  const start = () => {
    disk = openSqliteStore({ file: join(dir, 'line.db'), sealer, alone: true });
    steps = 0;
    death = undefined;
    dead = false;
    line = runLine({
      store: mortal(disk),
      clock,
      content,
      programme,
      carrier: {
        name: 'moody',
        sendText: ({ id, to }) => send('text', id, to),
        placeCall: ({ id, to }) => send('call', id, to),
      },
      lineOf: (phone) => lineIdOf(phone, pepper),
      onTrouble: () => undefined,
    });
  };
  start();

  return {
    attempts,
    now: () => at,
    steps: () => steps,
    dieAt: (step, when) => {
      death = { step, when };
    },
    isDead: () => dead,
    restart: async () => {
      dead = true;
      await line.stop();
      await disk.close();
      start();
    },
    text: async (from, id, body) => {
      try {
        const reply = await line.service.receive({ kind: 'text', id, from, to: '+447700900008', body });
        return reply.kind === 'text' ? reply.body : '';
      } catch (error) {
        if (error instanceof Died) return undefined;
        throw error;
      }
    },
    tick: async (ms) => {
      at += ms;
      await line.catchUp();
    },
    forward: async (ms) => {
      await moveForward(line, mortal(disk), clock, ms).catch((error: unknown) => {
        if (!(error instanceof Died)) throw error;
      });
    },
    state: async (phone) => {
      const stored = await disk.load(lineIdOf(phone, pepper));
      return stored === undefined ? undefined : (JSON.parse(stored.state) as LineState);
    },
    journal: async (phone) =>
      (await disk.journal(lineIdOf(phone, pepper), 10_000)).map(({ kind, body }) => ({
        kind,
        body: JSON.parse(body) as Record<string, unknown>,
      })),
    message: (id) => disk.message(id),
    close: async () => {
      dead = true;
      await line.stop();
      await disk.close();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}
