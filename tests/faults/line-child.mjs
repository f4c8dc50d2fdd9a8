/**
 * The line as a process of its own that can be killed: the built parts, a store on disk, a stand-in carrier that writes down
 * what it took. Told by the environment:
 *   DIR             folder of the store and of `carrier.log`
 *   PORT            port on loopback
 *   ACCOUNT, TOKEN, PUBLIC_URL, LINE_NUMBER, PEPPER, SEALING_KEYS
 *   CLOCK_AHEAD_MS  how far the clock runs ahead of the real one
 *   KILL_AT         "<point>:<n>": this process kills itself with SIGKILL when it comes to that point the n-th time
 */
import { appendFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { join } from 'node:path';

const built = (path) => import(new URL(`../../dist/${path}`, import.meta.url).href);
const [{ openSqliteStore }, { lineIdOf, openSealer, readSealingKeys }, { runLine }, { loadContent }] =
  await Promise.all([
    built('store/sqlite/sqlite-store.js'),
    built('store/sealing.js'),
    built('running-line.js'),
    built('programme/load-content.js'),
  ]);
const [{ webApp }, { twilioWebhooks }, { readConfig }] = await Promise.all([
  built('web/app.js'),
  built('channels/twilio/webhooks.js'),
  built('config.js'),
]);

const { DIR, PORT, ACCOUNT, TOKEN, PUBLIC_URL, LINE_NUMBER, PEPPER, SEALING_KEYS } = process.env;
const ahead = Number(process.env.CLOCK_AHEAD_MS ?? 0);
const [killPoint, killCount] = (process.env.KILL_AT ?? ':').split(':');
let left = Number(killCount);
const passing = (point) => {
  if (point === killPoint && --left === 0) process.kill(process.pid, 'SIGKILL');
};

const sqlite = openSqliteStore({
  file: join(DIR, 'line.db'),
  sealer: openSealer(readSealingKeys(SEALING_KEYS)),
  alone: true,
});
const store = {
  ...sqlite,
  commit: async (change) => {
    passing('before-commit');
    const outcome = sqlite.commit(change);
    passing('during-commit');
    await outcome;
    passing('after-commit');
    return outcome;
  },
  settleMessage: async (...settled) => {
    passing('before-settle');
    const isMine = await sqlite.settleMessage(...settled);
    passing('after-settle');
    return isMine;
  },
};
const clock = { now: () => Date.now() + ahead };
const take = async ({ id, to }) => {
  passing('before-send');
  appendFileSync(join(DIR, 'carrier.log'), `${JSON.stringify({ id, to })}\n`);
  passing('after-send');
  return { carrierId: `SM${Buffer.from(id).toString('hex').slice(-32).padStart(32, '0')}` };
};
const content = loadContent();
const line = runLine({
  store,
  clock,
  content,
  programme: readConfig({ TIME_ZONE: 'Asia/Kolkata' }).programme,
  carrier: { name: 'stand-in', sendText: take, placeCall: take },
  lineOf: (phone) => lineIdOf(phone, PEPPER),
  onTrouble: (error) => process.stderr.write(`${String(error)}\n`),
});
const app = webApp({
  carrierWebhooks: twilioWebhooks({
    accountSid: ACCOUNT,
    authToken: TOKEN,
    numbers: [LINE_NUMBER],
    publicUrl: PUBLIC_URL,
    service: line.service,
    apologies: { text: 'Sorry.', call: 'Sorry.', language: 'en' },
  }),
  health: async () => ({ ready: true, parts: { ...(await sqlite.backlog(clock.now())) } }),
  log: { error: (fields, message) => process.stderr.write(`${message} ${JSON.stringify(fields)}\n`) },
});
createServer(app).listen(Number(PORT), '127.0.0.1', () => {
  line.start();
  process.stdout.write('ready\n');
});
