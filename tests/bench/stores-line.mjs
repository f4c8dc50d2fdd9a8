/**
 * The built line as a server on a store that is already filled. Argument: JSON { place, active, works }; `works` when this
 * process also sends and reminds.
 */
import { account, lineNumber, motherNumber, pepper, publicUrl } from './turns-account.mjs';
import { built, lineIdOf, lineOn, openAt } from './stores-open.mjs';

const { webApp } = await built('web/app.js');
const { expressServer } = await built('web/express-server.js');
const { twilioWebhooks } = await built('channels/twilio/webhooks.js');

const { place, active, works } = JSON.parse(process.argv[2]);
const fail = (error) => {
  process.stderr.write(`${String(error)}\n`);
  process.exit(1);
};
const store = await openAt(place);
const lineOf = (phone) => lineIdOf(phone, pepper);
const ids = Array.from({ length: active }, (_, i) => lineOf(motherNumber(i)));
const activeIds = new Set(ids);
/** Turns of the active mothers that no text caused. */
let unasked = 0;
const watcher = {
  onTurn: ({ lineId, kind, outcome }) => {
    if (kind !== 'text' && outcome === 'committed' && activeIds.has(lineId)) unasked += 1;
  },
  onSend: () => undefined,
  onLook: () => undefined,
};
const line = lineOn(store, { now: Date.now }, lineOf, { onTrouble: fail, watcher });
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
  if (works) line.start();
  process.send({ port: server.address().port });
});
process.on('message', async ({ kind }) => {
  if (kind === 'cpu') process.send({ cpu: process.cpuUsage() });
  else if (kind === 'kept') process.send({ kept: await versions(), unasked });
});
process.on('disconnect', () => process.exit(0));

async function versions() {
  let sum = 0;
  for (const id of ids) sum += (await store.load(id))?.version ?? 0;
  return sum;
}
