import type { LineId } from '../../dialog/line.ts';
import type { Sealer } from '../sealing.ts';
import type { JournalEntry, StoredJournalEntry } from '../store.ts';
import { type RedisConnection, script } from './connection.ts';
import type { Shards } from './shards.ts';

/**
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 first element wanted; 3 last, -1 for the end
 * Returns  the journal elements
 */
const readScript = script(
  'journal',
  `return redis.call('LRANGE', KEYS[1] .. 'j:' .. ARGV[1], ARGV[2], ARGV[3])`,
);

/**
 * Puts one element in the place of several that hold the same entries, unless somebody else did.
 *
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 index of the first element; 3 how many; 4 the first element as read; 5 the new element
 * Returns  1 done, 0 not
 */
const foldScript = script(
  'fold',
  `
local journal, line = KEYS[1] .. 'j:' .. ARGV[1], KEYS[1] .. 'l:' .. ARGV[1]
local from, count = tonumber(ARGV[2]), tonumber(ARGV[3])
if redis.call('LINDEX', journal, from) ~= ARGV[4] or redis.call('LLEN', journal) < from + count then return 0 end
redis.call('LSET', journal, from, ARGV[5])
for index = from + 1, from + count - 1 do redis.call('LSET', journal, index, '') end
redis.call('LREM', journal, count - 1, '')
redis.call('SETRANGE', line, 8, struct.pack('>I4', from + 1))
return 1
`,
);

const headBytes = 8;

/** So many turns are sealed loose, one by one, before they are folded in. */
const foldAfter = 8;
/** A folded element takes in more until it holds so many characters; then the next is begun. About a month of history. */
const fullElementLength = 24_000;

/** Seals, reads and folds the journal. */
export function journalOf(connection: RedisConnection, shards: Shards, sealer: Sealer) {
  const seal = (lineId: LineId, entries: readonly JournalEntry[]): Buffer =>
    sealer.seal(JSON.stringify(entries.map(({ at, kind, body }) => [at, kind, body])), lineId, 'journal');

  function entriesIn(element: Buffer, lineId: LineId): readonly StoredJournalEntry[] {
    const firstSeq = element.readUInt32BE(0);
    const text = sealer.open(element.subarray(headBytes), lineId, 'journal');
    const rows = JSON.parse(text) as readonly (readonly [number, string, string])[];
    return rows.map(([at, kind, body], index) => ({ seq: firstSeq + index, at, kind, body }));
  }

  const elements = async (lineId: LineId, from: number, to: number): Promise<readonly Buffer[]> =>
    (await connection.run(readScript, shards.rootOf(lineId), [
      lineId,
      String(from),
      String(to),
    ])) as readonly Buffer[];

  return {
    seal,

    async read(lineId: LineId, limit: number, afterSeq: number): Promise<readonly StoredJournalEntry[]> {
      const wanted: StoredJournalEntry[] = [];
      for (const element of await elements(lineId, 0, -1)) {
        const lastSeq = element.readUInt32BE(0) + element.readUInt32BE(4) - 1;
        if (lastSeq <= afterSeq) continue;
        if (wanted.length >= limit) break;
        wanted.push(...entriesIn(element, lineId).filter(({ seq }) => seq > afterSeq));
      }
      return wanted.slice(0, limit);
    },

    /**
     * Seals the journal of several turns together: what was written one by one shrinks to a quarter. Folds when enough has
     * gathered: `count` elements are in the journal, the first `folded` of them folded before.
     */
    async fold(lineId: LineId, count: number, folded: number): Promise<void> {
      if (count - folded < foldAfter) return;
      const from = Math.max(0, folded - 1);
      const found = await elements(lineId, from, folded + foldAfter - 1);
      if (found.length < folded - from + foldAfter) return;
      const opened = found.map((element) => entriesIn(element, lineId));
      const lastIsFull = folded > 0 && lengthOf(opened[0] ?? []) >= fullElementLength;
      const skipped = lastIsFull ? 1 : 0;
      const [first] = found.slice(skipped);
      if (first === undefined) return;
      const entries = opened.slice(skipped).flat();
      const head = Buffer.alloc(headBytes);
      head.writeUInt32BE(first.readUInt32BE(0), 0);
      head.writeUInt32BE(entries.length, 4);
      const whole = Buffer.concat([head, seal(lineId, entries)]);
      const args = [lineId, String(from + skipped), String(found.length - skipped), first, whole];
      await connection.run(foldScript, shards.rootOf(lineId), args);
    },
  };
}

function lengthOf(entries: readonly JournalEntry[]): number {
  return entries.reduce((total, { kind, body }) => total + kind.length + body.length, 0);
}
