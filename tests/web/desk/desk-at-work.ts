import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import express from 'express';
import type { OutgoingText } from '../../../src/channels/carrier.ts';
import { readConfig } from '../../../src/config.ts';
import type { LineId, LineState } from '../../../src/dialog/line.ts';
import type { Programme } from '../../../src/dialog/world.ts';
import { openCalendar } from '../../../src/language/calendar.ts';
import { loadContent, loadDeskWords } from '../../../src/programme/load-content.ts';
import { moveForward, type RunningLine, runLine } from '../../../src/running-line.ts';
import { lineIdOf, openSealer, readSealingKeys } from '../../../src/store/sealing.ts';
import { openSqliteStore } from '../../../src/store/sqlite/sqlite-store.ts';
import type { Store } from '../../../src/store/store.ts';
import { webApp } from '../../../src/web/app.ts';
import { deskRouter } from '../../../src/web/desk/router.ts';
import { Visitor } from './visitor.ts';

/** Numbers from Ofcom's range for fiction. */
export const anita = '+447700900011';
export const mary = '+447700900012';
export const asha = '+447700900101';

const pepper = 'a-pepper-for-the-desk-0123456789';
const sealingKeys = `test:${Buffer.alloc(32, 7).toString('base64')}`;
const content = loadContent();
const words = loadDeskWords();

/** The desk in front of a line that works: store on disk, turns, workers; the carrier and both clocks are ours. */
export interface DeskAtWork {
  readonly base: string;
  readonly store: Store;
  readonly sent: OutgoingText[];
  readonly troubles: unknown[];
  readonly line: RunningLine;
  /** How long who tried too often was made to wait, in milliseconds. */
  readonly waits: number[];
  lineOf(phone: string): LineId;
  /** Texts the line and gives its answer. */
  text(from: string, body: string): Promise<string>;
  state(phone: string): Promise<LineState>;
  /** Moves the line's clock and the clock on the wall. */
  forward(ms: number): Promise<void>;
  visitor(): Visitor;
  /** The last code sent to a phone. */
  codeFor(phone: string): Promise<string>;
  signedIn(phone: string): Promise<Visitor>;
  /** Stops it, and opens it again on the same disk with other counsellors. */
  again(programme: Partial<Programme>): Promise<DeskAtWork>;
  close(): Promise<void>;
}

export async function deskAtWork(
  settings: {
    readonly publicUrl?: string;
    readonly env?: Readonly<Record<string, string>>;
    /** What the settings alone cannot say: counsellors with areas, a rota. */
    readonly programme?: Partial<Programme>;
    /** What another desk left. */
    readonly dir?: string;
    readonly startAt?: number;
  } = {},
): Promise<DeskAtWork> {
  const dir = settings.dir ?? mkdtempSync(join(tmpdir(), 'eightfeeds-desk-'));
  let at = settings.startAt ?? Date.parse('2026-11-25T04:30:00Z');
  const clock = { now: () => at, moveTo: (to: number) => (at = Math.max(at, to)) };
  const store = openSqliteStore({
    file: join(dir, 'line.db'),
    sealer: openSealer(readSealingKeys(sealingKeys)),
  });
  const configured = readConfig({ TIME_ZONE: 'Asia/Kolkata', ...settings.env }).programme;
  const programme: Programme = { ...configured, ...settings.programme };
  const sent: OutgoingText[] = [];
  const troubles: unknown[] = [];
  const waits: number[] = [];
  const lineOf = (phone: string) => lineIdOf(phone, pepper);
  const line = runLine({
    ...{ store, clock, content, programme, lineOf },
    carrier: {
      name: 'stand-in',
      sendText: async (message) => ({ carrierId: `SM${sent.push(message)}` }),
      placeCall: async () => ({ carrierId: 'CA1' }),
    },
    onTrouble: (error) => troubles.push(error),
    deskUrl: `${settings.publicUrl ?? 'http://127.0.0.1'}/desk`,
  });
  const server = createServer(
    webApp({
      carrierWebhooks: express.Router(),
      desk: deskRouter({
        ...{ store, clock, content, programme, lineOf, words, line: line.service },
        calendar: openCalendar(programme.timeZone),
        publicUrl: settings.publicUrl ?? 'http://127.0.0.1',
        wallNow: () => at,
        wait: async (ms) => void waits.push(ms),
      }),
      health: async () => ({ ready: true, parts: {} }),
      log: { error: (fields) => troubles.push(fields) },
    }),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  let texts = 0;
  const codeFor = async (phone: string) => {
    await line.catchUp();
    return /^\d{6}/.exec(sent.findLast((message) => message.to === phone)?.body ?? '')?.[0] ?? '';
  };
  const stop = async () => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
    await line.stop();
    await store.close();
  };
  const visitor = () => new Visitor(base);
  return {
    ...{ base, store, sent, troubles, line, waits, lineOf, codeFor, visitor },
    text: async (from, body) => {
      texts += 1;
      const reply = await line.service.receive({
        kind: 'text',
        id: `SM-in-${texts}`,
        from,
        to: '+447700900008',
        body,
      });
      return reply.kind === 'text' ? reply.body : '';
    },
    state: async (phone) => JSON.parse((await store.load(lineOf(phone)))?.state ?? 'null') as LineState,
    forward: (ms) => moveForward(line, store, clock, ms),
    signedIn: async (phone) => {
      const who = visitor();
      await who.get('/desk/sign-in');
      await who.send('/desk/sign-in', { number: phone });
      await who.send('/desk/sign-in/code', { code: await codeFor(phone) });
      return who;
    },
    again: async (other) => {
      await stop();
      return deskAtWork({ ...settings, programme: { ...settings.programme, ...other }, dir, startAt: at });
    },
    close: async () => {
      await stop();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

/** Enrols a mother: her answers to whatever the line asks of who joins. */
export async function enrol(
  desk: DeskAtWork,
  phone: string,
  told: {
    readonly born: string;
    readonly name: string;
    readonly home?: string;
    readonly babies: readonly string[];
  },
): Promise<void> {
  const babies = [...told.babies];
  let said = await desk.text(phone, 'JOIN');
  for (let asked = 0; asked < 12 && !/You are on the line/.test(said); asked += 1) {
    if (/Which language/.test(said)) said = await desk.text(phone, '1');
    else if (/When was your baby born/.test(said)) said = await desk.text(phone, `${told.born} ${told.name}`);
    else if (/how many babies/.test(said)) said = await desk.text(phone, told.home ?? '1 1 9');
    else said = await desk.text(phone, babies.shift() ?? '0');
  }
  if (!/You are on the line/.test(said)) throw new Error(`${told.name} could not enrol: ${said}`);
}

/** Enrols Asha, whose baby Mina was born two days before the desk opens, and lets her tell of danger. */
export async function ashaInDanger(desk: DeskAtWork): Promise<void> {
  await enrol(desk, asha, { born: '23-11-2026', name: 'Asha', babies: ['1 2.7 Mina'] });
  await desk.text(asha, 'baby has fever and is hard to wake');
}
