/**
 * A worker that sends, as a process of its own that can be killed: the built parts, a store on disk, the carrier's SDK pointed at a
 * stand-in on loopback. It gets ready, says "warm", and begins when it is given one line of JSON on stdin:
 *   file, pepper, sealingKeys, restUrl, account, authToken, publicUrl, lineNumber, timeoutMs
 *   clockFrom, clockSpeed   the clock's zero (epoch ms) and how many times it runs faster than the real one
 *   killAt                  "<point>:<n>": it kills itself with SIGKILL when it comes to that point the n-th time
 *   plant                   a fault to plant: "send-blindly" sends again what may have been sent; "tell-nobody" tells no line of an end
 * CONTENT in the environment is the folder with flows/ and locales/. Then it says {"port": ...}, where it takes receipts; any further line is answered with what is left to do.
 */
import { createServer } from 'node:http';
import { createInterface } from 'node:readline';

const built = (path) => import(new URL(`../../dist/${path}`, import.meta.url).href);
const [{ openSqliteStore }, { lineIdOf, openSealer, readSealingKeys }, { loadContent }] = await Promise.all([
  built('store/sqlite/sqlite-store.js'),
  built('store/sealing.js'),
  built('programme/load-content.js'),
]);
const [
  { openLineService },
  { outboxWorker },
  { openCalendar },
  { twilioCarrier },
  { twilioWebhooks },
  { webApp },
  { readConfig },
] = await Promise.all([
  built('line-service.js'),
  built('outreach/outbox-worker.js'),
  built('language/calendar.js'),
  built('channels/twilio/carrier.js'),
  built('channels/twilio/webhooks.js'),
  built('web/app.js'),
  built('config.js'),
]);
const { default: RequestClient } = await import('twilio/lib/base/RequestClient.js');
const content = loadContent(process.env.CONTENT);
const complain = (what) => process.stderr.write(`${what}\n`);

class Loopback extends RequestClient {
  constructor(base, timeout) {
    super({ timeout, keepAlive: false });
    this.base = base;
  }
  request(options) {
    const asked = new URL(options.uri);
    return super.request({ ...options, uri: this.base + asked.pathname + asked.search });
  }
}

const lines = createInterface({ input: process.stdin });
process.stdout.write('warm\n');
let left;
lines.on('line', (text) => {
  if (left === undefined) left = begin(JSON.parse(text));
  else void left.then((tell) => tell()).then((what) => process.stdout.write(`${JSON.stringify(what)}\n`));
});
// Whoever began this process is gone.
lines.on('close', () => process.exit(0));

async function begin(plan) {
  const [point, count] = (plan.killAt ?? ':').split(':');
  let until = Number(count);
  const passing = (at) => {
    if (at === point && --until === 0) process.kill(process.pid, 'SIGKILL');
  };
  const sqlite = openSqliteStore({
    file: plan.file,
    sealer: openSealer(readSealingKeys(plan.sealingKeys)),
    alone: true,
  });
  const isBlind = plan.plant === 'send-blindly';
  const store = {
    ...sqlite,
    takeOutbox: async (...asked) => {
      const taken = await sqlite.takeOutbox(...asked);
      passing('after-take');
      return isBlind ? taken.map((m) => ({ ...m, mayHaveBeenSent: false })) : taken;
    },
    settleMessage: async (id, token, came) => {
      const outcome =
        isBlind && came.why === 'may have been sent'
          ? { ...came, kind: 'again', mayHaveBeenSent: false }
          : came;
      const isMine = await sqlite.settleMessage(id, token, outcome);
      passing(`after-settle-${outcome.kind}`);
      return isMine;
    },
    noteTold: async (id) => {
      passing('before-told');
      await sqlite.noteTold(id);
    },
  };
  const clock = { now: () => Math.round(plan.clockFrom + (Date.now() - plan.clockFrom) * plan.clockSpeed) };
  const { programme } = readConfig({ TIME_ZONE: 'Asia/Kolkata' });
  const service = openLineService({
    ...{ store, clock, content, programme },
    calendar: openCalendar(programme.timeZone),
    lineOf: (phone) => lineIdOf(phone, plan.pepper),
    onOutbox: () => undefined,
  });
  const worker = outboxWorker({
    store,
    clock,
    carrier: twilioCarrier({
      accountSid: plan.account,
      authToken: plan.authToken,
      sender: plan.lineNumber,
      publicUrl: plan.publicUrl,
      httpClient: new Loopback(plan.restUrl, plan.timeoutMs),
    }),
    tell: plan.plant === 'tell-nobody' ? async () => undefined : service.tell,
    // The carrier's troubles are what this is about; anything else is a fault.
    onTrouble: (error) => error?.name?.startsWith('Carrier') || complain(error?.stack ?? error),
  });
  const webhooks = twilioWebhooks({
    accountSid: plan.account,
    authToken: plan.authToken,
    numbers: [plan.lineNumber],
    publicUrl: plan.publicUrl,
    service,
    apologies: { text: 'Sorry.', call: 'Sorry.', language: 'en' },
  });
  const app = webApp({
    carrierWebhooks: webhooks,
    health: async () => ({ ready: true, parts: {} }),
    log: { error: (fields) => complain(JSON.stringify(fields)) },
  });
  const server = createServer(app);
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  process.stdout.write(`${JSON.stringify({ port: server.address().port })}\n`);
  setInterval(() => void worker.runNow(), 40);
  return async () => {
    const { waitingMessages } = await sqlite.backlog(clock.now() + 86_400_000);
    return { waiting: waitingMessages, untold: (await sqlite.untold(10)).length };
  };
}
