/** The stores to measure, opened as a running line opens them, and the parts of the built project that measuring needs. */
const built = (path) => import(new URL(`../../dist/${path}`, import.meta.url).href);
const { openSqliteStore } = await built('store/sqlite/sqlite-store.js');
const { openRedisStore } = await built('store/redis/redis-store.js');
const { openSealer, lineIdOf } = await built('store/sealing.js');
const { runLine, moveForward } = await built('running-line.js');
const { loadContent } = await built('programme/load-content.js');
const { readConfig } = await built('config.js');

export { built, lineIdOf, moveForward };

/** @typedef {{ file: string } | { url: string }} Place */

/**
 * @param {Place} place
 * @param {number} [commandMs] how long an answer of Redis may take: filling a store keeps it busy for longer than any turn
 */
export async function openAt(place, commandMs = 2_000) {
  const sealer = openSealer([{ id: 'bench', key: Buffer.alloc(32, 5) }]);
  return 'file' in place
    ? openSqliteStore({ file: place.file, sealer })
    : openRedisStore({ url: place.url, sealer, times: { commandMs } });
}

/** A line on a store, with a stand-in carrier that takes everything. */
export function lineOn(store, clock, lineOf, more) {
  let sent = 0;
  return runLine({
    store,
    clock,
    lineOf,
    content: loadContent(),
    programme: readConfig({ TIME_ZONE: 'Asia/Kolkata' }).programme,
    carrier: {
      name: 'stand-in',
      sendText: async () => ({ carrierId: `SM${(++sent * 104_729).toString(16).padStart(32, 'a')}` }),
      placeCall: async () => ({ carrierId: `CA${(++sent * 104_729).toString(16).padStart(32, 'a')}` }),
    },
    ...more,
  });
}
