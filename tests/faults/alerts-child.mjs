/**
 * The line as a process of its own that is killed at a step of an alert's life: the built parts, a store on disk, a stand-in
 * carrier that writes down each try. One JSON command a line comes in, one JSON answer goes out. Told by the environment:
 *   DIR   folder of the store, of `clock` (epoch ms, kept over lives) and of `carrier.log` (one JSON line a try)
 *   MOOD  'takes', 'refuses' or 'unreachable': what the carrier does with every message
 */
import { appendFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';

const built = (path) => import(new URL(`../../dist/${path}`, import.meta.url).href);
const [{ openSqliteStore }, { lineIdOf, openSealer, readSealingKeys }, { moveForward, runLine }] =
  await Promise.all([
    built('store/sqlite/sqlite-store.js'),
    built('store/sealing.js'),
    built('running-line.js'),
  ]);
const [{ loadContent }, { readConfig }, { CarrierRefused, CarrierUnreachable }] = await Promise.all([
  built('programme/load-content.js'),
  built('config.js'),
  built('errors.js'),
]);

const { DIR, MOOD, COUNSELLORS, SEALING_KEYS, PEPPER } = process.env;
const clockFile = join(DIR, 'clock');
let at = Number(readFileSync(clockFile, 'utf8'));
const clock = {
  now: () => at,
  moveTo: (to) => {
    at = Math.max(at, to);
    writeFileSync(clockFile, String(at));
  },
};
const lineOf = (phone) => lineIdOf(phone, PEPPER);

/** How often each point was passed for the line that is looked at, and where to die. */
let watched = '';
let passed = {};
let death = { point: '', n: 0 };
const passing = (point, lineId) => {
  if (lineId !== watched) return;
  passed[point] = (passed[point] ?? 0) + 1;
  if (point === death.point && passed[point] === death.n) process.kill(process.pid, 'SIGKILL');
};
const lineOfMessage = (id) => id.slice(0, id.indexOf('.'));

const disk = openSqliteStore({
  file: join(DIR, 'line.db'),
  sealer: openSealer(readSealingKeys(SEALING_KEYS)),
  alone: true,
});
const store = {
  ...disk,
  commit: async (change) => {
    passing('before-commit', change.lineId);
    const outcome = disk.commit(change);
    passing('during-commit', change.lineId);
    await outcome;
    passing('after-commit', change.lineId);
    return outcome;
  },
  takeOutbox: async (...asked) => {
    const taken = await disk.takeOutbox(...asked);
    for (const message of taken) passing('after-take', message.lineId);
    return taken;
  },
  settleMessage: async (id, ...settled) => {
    passing('before-settle', lineOfMessage(id));
    const isMine = await disk.settleMessage(id, ...settled);
    passing('after-settle', lineOfMessage(id));
    return isMine;
  },
};
const send = async ({ id, to }) => {
  passing('before-send', lineOfMessage(id));
  appendFileSync(join(DIR, 'carrier.log'), `${JSON.stringify({ id, to, at, taken: MOOD === 'takes' })}\n`);
  passing('after-send', lineOfMessage(id));
  // 21610: the carrier's published number for a recipient who has opted out; here any refusal that time does not mend.
  if (MOOD === 'refuses') throw new CarrierRefused('no', 21610, 400);
  if (MOOD === 'unreachable') throw new CarrierUnreachable('no answer', false);
  return { carrierId: `SM${Buffer.from(id).toString('hex').slice(-32).padStart(32, '0')}` };
};
const line = runLine({
  store,
  clock,
  content: loadContent(),
  programme: readConfig({ TIME_ZONE: 'Asia/Kolkata', COUNSELLORS }).programme,
  carrier: { name: 'stand-in', sendText: send, placeCall: send },
  lineOf,
  random: () => 0.5,
  onTrouble: () => undefined,
});

const commands = {
  watch: ({ phone, point, n }) => {
    watched = lineOf(phone);
    passed = {};
    death = { point, n };
  },
  passed: () => passed,
  text: async ({ id, from, body }) =>
    (await line.service.receive({ kind: 'text', id, from, to: '+447700900008', body })).body ?? '',
  tick: async ({ ms }) => {
    clock.moveTo(at + ms);
    await line.catchUp();
  },
  forward: ({ ms }) => moveForward(line, store, clock, ms),
  now: () => at,
  state: async ({ phone }) => JSON.parse((await disk.load(lineOf(phone)))?.state ?? 'null'),
  journal: async ({ phone }) =>
    (await disk.journal(lineOf(phone), 10_000)).map(({ at: when, kind, body }) => ({
      at: when,
      kind,
      body: JSON.parse(body),
    })),
  message: async ({ id }) => (await disk.message(id)) ?? null,
};
for await (const asked of createInterface({ input: process.stdin })) {
  const { what, ...rest } = JSON.parse(asked);
  const answer = await commands[what](rest);
  process.stdout.write(`${JSON.stringify({ answer: answer ?? null })}\n`);
}
