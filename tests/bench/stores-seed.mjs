/** A process that fills a store with lines made from one that was really lived. Argument: JSON { place, lines, days, folder }. */
import { join } from 'node:path';
import { motherNumber } from './turns-account.mjs';
import { openAt } from './stores-open.mjs';
import { asMother, lived } from './stores-people.mjs';

const { place, lines, days, folder } = JSON.parse(process.argv[2]);
const dayMs = 86_400_000;
const atOnce = 500;

const [first] = await lived(join(folder, `lived-${process.pid}.db`), { mothers: 1, days, daily: true });
const pattern = { ...first, replies: [], outbox: [], alerts: [] };
const store = await openAt(place, 60_000);
for (let from = 0; from < lines; from += atOnce) {
  const some = Array.from({ length: Math.min(atOnce, lines - from) }, (_, i) => from + i);
  await Promise.all(
    some.map((i) => {
      const { lineId, state, journal } = asMother(pattern, motherNumber(i));
      // As one turn: it is sealed in one go. Nothing falls due while turns are measured.
      const nextDueAt = Date.now() + dayMs + i;
      return store.commit({
        lineId,
        expectedVersion: 0,
        reply: '',
        state,
        nextDueAt,
        journal,
        outbox: [],
        alerts: [],
      });
    }),
  );
}
await store.close();
process.exit(0);
