/**
 * Whether the work of a due time grows with the number of mothers: what a due turn costs (load, plan everything of its line, keep it)
 * and what taking 1,000 due lines costs, with 1,000, 10,000 and 100,000 mothers on the embedded store, in one run, turn about.
 * Processor time, since a shared machine tells it more truly than the clock. Alone: node tests/bench/planner.bench.mjs
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { lineNumber, motherNumber, pepper } from './turns-account.mjs';

const sizes = [1_000, 10_000, 100_000];
const rounds = 15;
const turnsARound = 30;
/** Lines that only turns are run on, beside those that are taken: a turn gives a line another due time. */
const linesForTurns = turnsARound * (rounds + 1);
const dueAtOnce = 1_000;
const leaseMs = 30_000;
const dayMs = 86_400_000;
/** The most that 100,000 mothers may cost over 1,000. */
const mostRatio = 1.3;

const built = (path) => import(new URL(`../../dist/${path}`, import.meta.url).href);

/** @returns {Promise<readonly { name: string, value: number, unit: string }[]>} */
export async function run() {
  const places = [];
  try {
    for (const size of sizes) places.push(await open(size));
    const work = sizes.map(() => ({ turn: [], take: [] }));
    for (let round = -1; round < rounds; round += 1) {
      for (const [i, place] of places.entries()) {
        const turn = await place.turns();
        const take = await place.take();
        // The first round warms up.
        if (round < 0) continue;
        work[i].turn.push(turn);
        work[i].take.push(take);
      }
    }
    const rows = sizes.flatMap((size, i) => [
      { name: `a due turn, ${size} mothers`, value: round(median(work[i].turn)), unit: 'us of processor' },
      {
        name: `taking ${dueAtOnce} due lines, ${size} mothers`,
        value: round(median(work[i].take)),
        unit: 'us of processor',
      },
    ]);
    const ratios = ['turn', 'take'].map((kind) => ({
      name: `100,000 mothers over 1,000, ${kind === 'turn' ? 'a due turn' : `taking ${dueAtOnce} due lines`}`,
      value: round(median(work[2][kind]) / median(work[0][kind]), 2),
      unit: `times (at most ${mostRatio})`,
    }));
    const slow = ratios.filter(({ value }) => value > mostRatio);
    if (slow.length > 0)
      throw new Error(slow.map(({ name, value }) => `${name}: ${value}, above ${mostRatio}`).join('; '));
    return [...rows, ...ratios];
  } finally {
    for (const place of places) await place.close();
  }
}

/** A store with so many mothers, 1,000 of them due now and the others later, and the line at work on it. */
async function open(size) {
  const { openSqliteStore } = await built('store/sqlite/sqlite-store.js');
  const { lineIdOf, openSealer } = await built('store/sealing.js');
  const { runLine } = await built('running-line.js');
  const { loadContent } = await built('programme/load-content.js');
  const { readConfig } = await built('config.js');
  const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-planner-'));
  const store = openSqliteStore({
    file: join(dir, 'line.db'),
    sealer: openSealer([{ id: 'bench', key: Buffer.alloc(32, 5) }]),
  });
  // Ten in the morning of the programme, on a day without a clock change.
  let now = Date.UTC(2026, 2, 2, 4, 30);
  const lineOf = (phone) => lineIdOf(phone, pepper);
  const line = runLine({
    store,
    clock: { now: () => now },
    content: loadContent(),
    programme: readConfig({ TIME_ZONE: 'Asia/Kolkata' }).programme,
    carrier: {
      name: 'none',
      sendText: async ({ id }) => ({ carrierId: id }),
      placeCall: async ({ id }) => ({ carrierId: id }),
    },
    lineOf,
    onTrouble: (error) => {
      throw error;
    },
  });
  const state = await enrolledState(line, store, lineOf);
  await seed(store, state, lineOf, size, now);
  now = Date.UTC(2026, 2, 3, 4, 30);
  let taken = 0;
  const forTurns = Array.from({ length: linesForTurns }, (_, i) => lineOf(motherNumber(size + 1 + i)));
  return {
    async turns() {
      const mine = forTurns.splice(0, turnsARound);
      return processorUs(async () => {
        for (const lineId of mine) await line.service.fireDue(lineId);
      }).then((us) => us / turnsARound);
    },
    async take() {
      // Past the lease of the round before, everything can be taken again.
      now += leaseMs + 1;
      const us = await processorUs(async () => {
        taken = 0;
        while (taken < dueAtOnce) {
          const lines = await store.takeDueLines(now, Math.min(100, dueAtOnce - taken), leaseMs);
          if (lines.length === 0) throw new Error(`only ${taken} of ${dueAtOnce} lines were due`);
          taken += lines.length;
        }
      });
      return us;
    },
    async close() {
      await line.stop();
      await store.close();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

/** A mother enrolled in the way of all, with her check-in due the next morning. */
async function enrolledState(line, store, lineOf) {
  const from = motherNumber(0);
  let texts = 0;
  const text = async (body) => {
    texts += 1;
    const reply = await line.service.receive({
      kind: 'text',
      id: `SM${String(texts).padStart(32, '0')}`,
      from,
      to: lineNumber,
      body,
    });
    return reply.body ?? '';
  };
  const joined = await text('JOIN');
  const english = /(\d+)\s+English\b/.exec(joined)?.[1];
  if (english !== undefined) await text(english);
  await text('26-2-2026 Asha');
  await text('1 1 10');
  await text('1 2.9 Tara');
  const { state } = await store.load(lineOf(from));
  if (JSON.parse(state).mothers.length !== 1) throw new Error('the first mother is not as she should be');
  return state;
}

async function seed(store, state, lineOf, size, now) {
  const first = motherNumber(0);
  const spread = Math.max(1, Math.floor(size / dueAtOnce));
  const made = [];
  let due = 0;
  for (let i = 1; i <= size + linesForTurns; i += 1) {
    const phone = motherNumber(i);
    // Those that are due lie scattered among the others, as mothers do.
    const isDue = due < dueAtOnce && i <= size && i % spread === 0;
    if (isDue) due += 1;
    made.push(
      store.commit({
        lineId: lineOf(phone),
        expectedVersion: 0,
        reply: '',
        state: state.replaceAll(first, phone),
        nextDueAt: now + (isDue ? dayMs - 1_000 : 20 * dayMs + i * 1_000),
        journal: [],
        outbox: [],
        alerts: [],
      }),
    );
    if (made.length === 1_000) await Promise.all(made.splice(0));
  }
  await Promise.all(made);
}

async function processorUs(work) {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return user + system;
}

function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}

function round(value, digits = 0) {
  return Math.round(value * 10 ** digits) / 10 ** digits;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  console.info(`Node ${process.version}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}`);
  for (const { name, value, unit } of await run()) console.info(`${name}: ${value} ${unit}`);
}
