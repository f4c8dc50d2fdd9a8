import type { LineId } from '../../dialog/line.ts';
import type { AlertEntry } from '../store.ts';
import type { CodeHolder } from './alert-codes.ts';
import { type RedisConnection, script } from './connection.ts';
import type { Shards } from './shards.ts';

/**
 * KEYS[1]  root of a shard
 * ARGV     1 how many
 * Returns  alert id and its JSON in turn, most urgent first
 */
const openScript = script(
  'open-alerts',
  `
local found = {}
for _, id in ipairs(redis.call('ZRANGE', KEYS[1] .. 'urgent', 0, ARGV[1] - 1)) do
  found[#found + 1] = id
  found[#found + 1] = redis.call('HGET', KEYS[1] .. 'alerts', id)
end
return found
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 alert code
 * Returns  alert id and its JSON in turn, of all alerts that have or had the code
 */
const byCodeScript = script(
  'alerts-by-code',
  `
local found = {}
local ids = redis.call('HGET', KEYS[1] .. 'codes', ARGV[1])
for _, id in ipairs(ids and cjson.decode(ids) or {}) do
  found[#found + 1] = id
  found[#found + 1] = redis.call('HGET', KEYS[1] .. 'alerts', id)
end
return found
`,
);

/** The index of alerts. Reading it asks every shard, except for an open alert by its code: that is one place. */
export function alertsOf(connection: RedisConnection, { roots, rootOf }: Shards) {
  async function entriesIn(
    root: string,
    which: typeof openScript,
    argument: string,
  ): Promise<readonly AlertEntry[]> {
    const flat = (await connection.run(which, root, [argument])) as readonly Buffer[];
    return flat.flatMap((id, i) =>
      i % 2 === 0 ? [entryOf(id.toString(), flat[i + 1] ?? Buffer.alloc(0))] : [],
    );
  }

  async function everywhere(which: typeof openScript, argument: string): Promise<readonly AlertEntry[]> {
    return (await Promise.all(roots.map((root) => entriesIn(root, which, argument)))).flat();
  }

  async function held({ alertId, lineId }: CodeHolder, code: string): Promise<AlertEntry | undefined> {
    const entries = await entriesIn(rootOf(lineId), byCodeScript, code);
    return entries.find((entry) => entry.alertId === alertId && entry.open);
  }

  return {
    held,

    async byCode(code: string, holder: CodeHolder | undefined): Promise<AlertEntry | undefined> {
      const open = holder && (await held(holder, code));
      if (open) return open;
      const [best] = (await everywhere(byCodeScript, code)).toSorted(
        (a, b) => Number(b.open) - Number(a.open) || b.raisedAt - a.raisedAt || compare(a.alertId, b.alertId),
      );
      return best;
    },

    async open(limit: number): Promise<readonly AlertEntry[]> {
      const all = await everywhere(openScript, String(limit));
      return all
        .toSorted(
          (a, b) => compare(a.tier, b.tier) || a.raisedAt - b.raisedAt || compare(a.alertId, b.alertId),
        )
        .slice(0, limit);
    },
  };
}

/** An alert as the scripts give it: its id and its JSON. */
export function entryOf(alertId: string, json: Buffer): AlertEntry {
  const kept = JSON.parse(json.toString()) as readonly [string, string, AlertEntry['tier'], number, boolean];
  const [line, code, tier, raisedAt, open] = kept;
  const lineId = (line === '' ? alertId.slice(0, alertId.indexOf('.')) : line) as LineId;
  return { alertId, lineId, code, tier, raisedAt, open };
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
