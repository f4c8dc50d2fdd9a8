import type { LineId } from '../dialog/line.ts';
import { ConfigError, StoreUnavailable } from '../errors.ts';
import { contentHash } from '../store/content-hash.ts';
import type { Store } from '../store/store.ts';

/** What a move did. */
export interface Moved {
  readonly lines: number;
  /** Of these, how many an earlier, broken off move had brought over already. */
  readonly wereThere: number;
  /** The hashes of all lines as one, in hex: the same for the same content, in whatever order a store has its lines. */
  readonly sha256: string;
}

/** How far a move is: lines done of all. */
export type OnMoved = (done: number, all: number) => void;

/** Lines under way at once: enough for one sync of a disk to serve many. */
const atOnce = 128;
/** Ids read at once. */
const page = 1_000;

/**
 * Copies every line from one store to another and verifies each by a hash of its content, read back from where it went. What is
 * there already is verified and not written again: a move that was broken off goes on where it was. The source is not changed.
 * Neither store may be used by anybody else meanwhile; whether the source was, is looked at in the end.
 * @throws ConfigError when the target holds a line that the source has not: then nothing was written
 * @throws StoreUnavailable when a line is not the same on both sides
 */
export async function moveLines(from: Store, to: Store, onMoved: OnMoved): Promise<Moved> {
  const all = await refuseStrangers(from, to);
  const now = Date.now();
  const sum = Buffer.alloc(32);
  let done = 0;
  let wereThere = 0;
  for await (const ids of pagesOf(from, atOnce)) {
    const lines = await Promise.all(ids.map((id) => moveOne(from, to, id, now)));
    for (const line of lines) {
      addTo(sum, Buffer.from(line.sha256, 'hex'));
      if (line.wasThere) wereThere++;
    }
    onMoved((done += ids.length), all);
  }
  await compareVersions(from, to, done);
  return { lines: done, wereThere, sha256: sum.toString('hex') };
}

function addTo(sum: Buffer, hash: Buffer): void {
  for (const [i, byte] of hash.entries()) sum[i] = (sum[i] ?? 0) ^ byte;
}

async function moveOne(
  from: Store,
  to: Store,
  id: LineId,
  now: number,
): Promise<{ readonly sha256: string; readonly wasThere: boolean }> {
  const line = await from.readLine(id);
  if (line === undefined) throw changed(id);
  const wasThere = (await to.writeLine(line)) === 'there';
  const copy = await to.readLine(id);
  const sha256 = contentHash(line, now);
  if (copy === undefined || contentHash(copy, now) !== sha256)
    throw new StoreUnavailable(
      wasThere
        ? `Line ${id} is in the target with other content. Was one of the two used since the move began? Begin with an empty target.`
        : `Line ${id} is not in the target as it is in the source. Nothing was changed in the source.`,
    );
  return { sha256, wasThere };
}

/** How many lines the source has. */
async function refuseStrangers(from: Store, to: Store): Promise<number> {
  const strangers = new Set<LineId>();
  for await (const ids of pagesOf(to, page)) for (const id of ids) strangers.add(id);
  let all = 0;
  for await (const ids of pagesOf(from, page)) {
    all += ids.length;
    for (const id of ids) strangers.delete(id);
  }
  if (strangers.size > 0)
    throw new ConfigError([
      `The target holds ${strangers.size} lines that are not in the source. Move to an empty store, or to one that a move of this source was broken off in.`,
    ]);
  return all;
}

/** A line that was used after it was copied would be lost with its old store. */
async function compareVersions(from: Store, to: Store, moved: number): Promise<void> {
  let all = 0;
  for await (const ids of pagesOf(from, page)) {
    all += ids.length;
    for (let i = 0; i < ids.length; i += atOnce)
      await Promise.all(
        ids.slice(i, i + atOnce).map(async (id) => {
          const [one, other] = await Promise.all([from.load(id), to.load(id)]);
          if (one?.version !== other?.version) throw changed(id);
        }),
      );
  }
  if (all !== moved) throw changed(undefined);
}

async function* pagesOf(store: Store, limit: number): AsyncGenerator<readonly LineId[]> {
  let after: LineId | undefined;
  for (;;) {
    const ids = await store.lineIds(limit, after);
    if (ids.length === 0) return;
    yield ids;
    after = ids.at(-1);
  }
}

function changed(id: LineId | undefined): StoreUnavailable {
  return new StoreUnavailable(
    `The source was used while it was moved (${id === undefined ? 'lines came in' : `line ${id}`}). Stop every process of Eightfeeds, then move to an empty target.`,
  );
}
