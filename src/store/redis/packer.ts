import type { LineId } from '../../dialog/line.ts';
import { keepFor } from '../keep-for.ts';
import type { JournalEntry, StoredJournalEntry } from '../store.ts';
import { type RedisConnection, script } from './connection.ts';
import { elementsScript, type History, openHistory } from './history.ts';
import { packedMessage, wholeOf } from './kept-message.ts';
import { elementIn, headIn, restElement, stateOf } from './line-elements.ts';
import { lineLua } from './line-lua.ts';
import type { RestSealer } from './rest/rest-sealer.ts';
import type { Shards } from './shards.ts';

/**
 * Puts packs in the place of everything from some element on, unless the line changed meanwhile.
 *
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 head and 3 number of elements as read; 4 the first element to be replaced, from 1; 5 the new head;
 *          then the packs
 * Returns  1 done, 0 not
 */
const packScript = script(
  'pack',
  lineLua,
  `
local list = listOf(ARGV[1])
if redis.call('LINDEX', list, 0) ~= ARGV[2] or redis.call('LLEN', list) ~= tonumber(ARGV[3]) then return 0 end
redis.call('LTRIM', list, 0, ARGV[4] - 1)
redis.call('LSET', list, 0, ARGV[5])
for i = 6, #ARGV do redis.call('RPUSH', list, ARGV[i]) end
return 1
`,
);

/** A pack takes in more until its journal has so many characters; then the next is begun. More than a month of history. */
const fullPackLength = 32_000;

/** A line with more loose elements than this is packed without waiting for quiet. */
const mostLoose = 48;

/** Packs lines that have come to rest. */
export interface Packer {
  /** The line was changed; `elements` is how many it has now, 0 when that is not known. */
  touched(lineId: LineId, elements: number): void;
  close(): void;
}

/**
 * While a mother writes, her turns lie loose, each sealed by itself; that costs least. Once her line has been quiet for `restMs`
 * everything of it, its state too, is shrunk and sealed together, which takes a twentieth of the memory. Should the process end before, her line
 * is packed after her next turn; nothing but memory depends on it.
 */
export function openPacker(
  connection: RedisConnection,
  shards: Shards,
  sealer: RestSealer,
  restMs: number,
): Packer {
  /** When each line was last touched, the longest quiet first. */
  const awake = new Map<LineId, number>();
  let isPacking = false;

  async function pack(lineId: LineId): Promise<void> {
    const root = shards.rootOf(lineId);
    const all = (await connection.run(elementsScript, root, [lineId])) as readonly Buffer[];
    const [first, ...rest] = all;
    if (first === undefined) return;
    const head = headIn(first);
    const elements = rest.map(elementIn);
    const loose = elements.findIndex(({ kind }) => kind === 'turn' || kind === 'message');
    const packs = loose === -1 ? elements.length : loose;
    const state = stateOf(sealer, lineId, first, rest[packs - 1]);
    const from = Math.max(0, packs - 1);
    const now = Date.now();
    const keep = { repliesFrom: now - keepFor.replyMs, messagesFrom: now - keepFor.settledMessageMs };
    const history = openHistory(sealer, lineId, elements.slice(from), keep);
    const made = packsOf(history, head.entries).map(({ journal, firstSeq, isLast }) => {
      const { replies, messages } = isLast ? history : { replies: [], messages: [] };
      const packed = messages.map((m) => packedMessage(wholeOf(m)));
      return restElement(
        sealer,
        lineId,
        { state: isLast ? state : '', journal, replies, messages: packed },
        firstSeq,
        messages.map(({ message }) => message.id),
      );
    });
    await connection.run(packScript, root, [
      ...[lineId, first, String(all.length), String(from + 1)],
      head.bytes,
      ...made,
    ]);
  }

  async function packQuiet(until: number): Promise<void> {
    if (isPacking) return;
    isPacking = true;
    try {
      for (const [lineId, touchedAt] of awake) {
        if (touchedAt > until) break;
        awake.delete(lineId);
        // The line stays as it is, whole and readable, and is packed another time.
        await pack(lineId).catch(() => undefined);
      }
    } finally {
      isPacking = false;
    }
  }

  const timer = setInterval(() => void packQuiet(performance.now() - restMs), Math.max(10, restMs / 10));
  timer.unref();

  return {
    touched(lineId, elements) {
      awake.delete(lineId);
      awake.set(lineId, performance.now());
      if (elements > mostLoose) {
        awake.delete(lineId);
        pack(lineId).catch(() => undefined);
      }
    },
    close: () => clearInterval(timer),
  };
}

interface Part {
  readonly journal: readonly JournalEntry[];
  readonly firstSeq: number;
  readonly isLast: boolean;
}

/** The journal in parts that are full, and a last one that may grow. `entries` is how many the whole journal has. */
export function packsOf({ journal }: Pick<History, 'journal'>, entries: number): readonly Part[] {
  const parts: StoredJournalEntry[][] = [[]];
  let length = 0;
  for (const entry of journal) {
    if (length >= fullPackLength) {
      parts.push([]);
      length = 0;
    }
    parts.at(-1)?.push(entry);
    length += entry.kind.length + entry.body.length;
  }
  return parts.map((part, i) => ({
    journal: part,
    firstSeq: part[0]?.seq ?? entries + 1,
    isLast: i === parts.length - 1,
  }));
}
