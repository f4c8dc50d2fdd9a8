/**
 * The built line as a server to measure: webhooks, turns, the embedded store on disk with a sync for every group of commits,
 * both workers; a stand-in carrier that takes everything. Argument: how many mothers are on the line.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { account, lineNumber, motherNumber, pepper, publicUrl } from './turns-account.mjs';

const built = (path) => import(new URL(`../../dist/${path}`, import.meta.url).href);
const { openSqliteStore } = await built('store/sqlite/sqlite-store.js');
const { lineIdOf, openSealer } = await built('store/sealing.js');
const { runLine } = await built('running-line.js');
const { loadContent } = await built('programme/load-content.js');
const { webApp } = await built('web/app.js');
const { expressServer } = await built('web/express-server.js');
const { twilioWebhooks } = await built('channels/twilio/webhooks.js');
const { readConfig } = await built('config.js');

const mothers = Number(process.argv[2]);
const active = Number(process.argv[3]);
const dayMs = 86_400_000;
const historyDays = 5;

const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-bench-'));
process.on('exit', () => rmSync(dir, { recursive: true, force: true }));
const sealer = openSealer([{ id: 'bench', key: Buffer.alloc(32, 5) }]);
const store = openSqliteStore({ file: join(dir, 'line.db'), sealer });
let backMs = historyDays * dayMs;
const clock = { now: () => Date.now() - backMs };
const lineOf = (phone) => lineIdOf(phone, pepper);
const fail = (error) => {
  process.stderr.write(`${String(error)}\n`);
  process.exit(1);
};
/** Turns of the active mothers that no text caused: a due time of theirs, a receipt. */
let unasked = 0;
const activeIds = new Set();
function count({ lineId, kind, outcome }) {
  if (kind !== 'text' && outcome === 'committed' && activeIds.has(lineId)) unasked += 1;
}

const line = runLine({
  store,
  clock,
  content: loadContent(),
  programme: readConfig({ TIME_ZONE: 'Asia/Kolkata' }).programme,
  carrier: {
    name: 'stand-in',
    sendText: async ({ id }) => ({ carrierId: id }),
    placeCall: async ({ id }) => ({ carrierId: id }),
  },
  lineOf,
  onTrouble: fail,
  watcher: { onTurn: count, onSend: () => undefined, onLook: () => undefined },
});

const base = await seed();
for (let i = 0; i < active; i += 1) activeIds.add(lineOf(motherNumber(i)));
const app = webApp({
  carrierWebhooks: twilioWebhooks({
    ...account,
    numbers: [lineNumber],
    publicUrl,
    service: line.service,
    apologies: { text: 'Sorry.', call: 'Sorry.', language: 'en' },
  }),
  health: async () => ({ ready: true, parts: {} }),
  log: { error: fail },
});
const { server, serve } = expressServer({});
serve(app);
server.listen(0, '127.0.0.1', () => {
  line.start();
  process.send({ port: server.address().port });
});
process.on('message', async (asked) => {
  if (asked.kind === 'cpu') process.send({ cpu: process.cpuUsage() });
  else if (asked.kind === 'kept') process.send({ kept: await turnsKept() });
});
process.on('disconnect', () => process.exit(0));

/** One mother enrols and answers for some days; the others are made from her. Gives the commits that a line begins with. */
async function seed() {
  const first = motherNumber(0);
  let texts = 0;
  const text = async (body) => {
    texts += 1;
    const id = `SM${String(texts).padStart(32, '0')}`;
    const reply = await line.service.receive({ kind: 'text', id, from: first, to: lineNumber, body });
    return reply.body ?? '';
  };
  const born = new Date(clock.now() - 3 * dayMs);
  const joined = await text('JOIN');
  const english = /(\d+)\s+English\b/.exec(joined)?.[1];
  if (english !== undefined) await text(english);
  await text(`${born.getUTCDate()}-${born.getUTCMonth() + 1}-${born.getUTCFullYear()} Asha`);
  await text('1 1 10');
  await text('1 2.9 Tara');
  const state = async () => JSON.parse((await store.load(lineOf(first))).state);
  for (backMs = historyDays * dayMs; ; backMs -= dayMs) {
    // What fell due meanwhile, in its own time: else all of it would fall due while we measure.
    await line.catchUp();
    await text('9 3 6 4');
    await text('1 1 0');
    if ((await state()).dialog !== null) await text('0');
    if (backMs === 0) break;
  }
  const stored = (await store.load(lineOf(first))).state;
  if (JSON.parse(stored).mothers[0]?.checkIns.length !== historyDays + 1)
    fail('the first mother is not as she should be');
  const made = [];
  for (let i = 1; i < mothers; i += 1) {
    const phone = motherNumber(i);
    made.push(
      store.commit({
        lineId: lineOf(phone),
        expectedVersion: 0,
        reply: '',
        state: stored.replaceAll(first, phone),
        nextDueAt: Date.now() + dayMs,
        journal: [],
        outbox: [],
        alerts: [],
      }),
    );
    if (made.length === 1_000) await Promise.all(made.splice(0));
  }
  await Promise.all(made);
  return versions();
}

async function versions() {
  let sum = 0;
  for (let i = 0; i < active; i += 1) sum += (await store.load(lineOf(motherNumber(i))))?.version ?? 0;
  return sum;
}

async function turnsKept() {
  return (await versions()) - base - unasked;
}
