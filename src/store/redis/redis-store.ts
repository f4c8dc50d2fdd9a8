import { ConfigError } from '../../errors.ts';
import type { Sealer } from '../sealing.ts';
import type { Store } from '../store.ts';
import { alertCodes } from './alert-codes.ts';
import { alertsOf } from './alerts.ts';
import { backlogOf } from './backlog.ts';
import { linesOf } from './commit.ts';
import { connect, type RedisConnection, script } from './connection.ts';
import { dueLines } from './due.ts';
import { journalOf } from './history.ts';
import { outboxOf } from './outbox.ts';
import { openPacker } from './packer.ts';
import { resealing } from './reseal.ts';
import { restSealer } from './rest/rest-sealer.ts';
import type { RedisAddress, RedisTimes } from './senders.ts';
import { shards } from './shards.ts';
import { wholeLines } from './whole-line.ts';

/** How to open the store that several processes share: `url` for one server, or `cluster` with some of its addresses. */
export type RedisOptions = RedisAddress & {
  readonly sealer: Sealer;
  /** How many parts the lines are spread over, 1-1024; fixed for the life of the data. Default 64. */
  readonly shards?: number;
  /** What every key begins with; letters, digits and hyphens. Default `eightfeeds`. */
  readonly prefix?: string;
  /** How long a line is quiet before it is packed. Default 120,000 ms. */
  readonly restMs?: number;
  /** How many replicas of a server must have a change before it counts as kept; 0, the default, for none. */
  readonly replicas?: number;
  /** Default 2,000 ms for a command, 5,000 ms to connect, 1,000 ms for replicas. */
  readonly times?: Partial<RedisTimes>;
};

/**
 * KEYS[1]  where the layout is noted
 * ARGV     1 the layout of this program; 2 the one before, which it reads too
 * Returns  the layout of the data: the same when there was none, or the one before
 */
const layoutScript = script(
  'layout',
  `
local layout = redis.call('GET', KEYS[1])
if layout and layout ~= ARGV[2] then return layout end
redis.call('SET', KEYS[1], ARGV[1])
return ARGV[1]
`,
);

/**
 * 3 shrinks lines at rest, state and all; 2 deflated them, each state by itself. What 2 left is read as it lies, and shrunk when its
 * line next comes to rest.
 */
const layoutVersion = 3;

/**
 * Opens the Redis store. Redis 7 or later, with the append-only file. With `appendfsync always` a commit is on disk when its
 * promise settles; with `everysec` a crash of the machine can take the last second with it. A replica that takes over may lack
 * the last moments before, with either, unless `replicas` are waited for: then what was told is in the memory of so many.
 * @throws StoreUnavailable when no server answers; ConfigError when the data has another number of shards
 */
export async function openRedisStore(options: RedisOptions): Promise<Store> {
  const { shards: count = 64, prefix = 'eightfeeds', restMs = 120_000, times = {} } = options;
  if (!Number.isInteger(count) || count < 1 || count > 1024)
    throw new ConfigError(['The number of shards must be 1-1024.']);
  if (!/^[\w-]{1,32}$/.test(prefix))
    throw new ConfigError(['The prefix must be 1-32 letters, digits, - or _.']);
  const connection = await connect(
    options,
    { commandMs: 2_000, connectMs: 5_000, replicasMs: 1_000, ...times },
    options.replicas ?? 0,
  );
  try {
    await checkLayout(connection, prefix, count);
  } catch (error) {
    await connection.close();
    throw error;
  }

  const sealer = restSealer(options.sealer);
  const places = shards(prefix, count);
  const alerts = alertsOf(connection, places);
  const codes = alertCodes(
    connection,
    prefix,
    async (holder, code) => (await alerts.held(holder, code)) !== undefined,
  );
  const journal = journalOf(connection, places, sealer);
  const packer = openPacker(connection, places, sealer, restMs);
  const outbox = outboxOf(connection, places, sealer, (lineId) => packer.touched(lineId, 0));
  const lines = linesOf(connection, places, sealer, { codes, packer });
  const whole = wholeLines(connection, places, sealer, codes);
  const due = dueLines(connection, places);
  const reseal = resealing(connection, places, sealer, lines.ids);

  return {
    load: lines.load,
    commit: lines.commit,
    replyTo: lines.replyTo,
    takeDueLines: due.take,
    takeOutbox: outbox.take,
    settleMessage: outbox.settle,
    message: outbox.byId,
    untold: outbox.untold,
    noteTold: outbox.noteTold,
    alertByCode: async (code) => alerts.byCode(code, await codes.holder(code)),
    openAlerts: alerts.open,
    journal: (lineId, limit, afterSeq = 0) => journal.read(lineId, limit, afterSeq),
    lineIds: lines.ids,
    reseal,
    backlog: (now) => backlogOf(connection, places, now),
    readLine: whole.read,
    writeLine: async (line) => {
      const givenUp = line.outbox.filter((m) => m.state === 'gave-up').map((m) => m.id);
      await outbox.tellAgain(line.lineId, givenUp);
      return whole.write(line);
    },
    close: () => {
      packer.close();
      return connection.close();
    },
  };
}

async function checkLayout(connection: RedisConnection, prefix: string, count: number): Promise<void> {
  const [ours = '', before = ''] = [layoutVersion, layoutVersion - 1].map(
    (version) => `layout ${version}, shards ${count}`,
  );
  const theirs = String(await connection.run(layoutScript, `${prefix}:{layout}`, [ours, before]));
  if (theirs === ours) return;
  const isOurLayout =
    theirs.startsWith(`layout ${layoutVersion},`) || theirs.startsWith(`layout ${layoutVersion - 1},`);
  const what = isOurLayout
    ? 'Set the same number of shards.'
    : 'Bring it over with "eightfeeds move", by the version that wrote it: first to a file, then from there with this version.';
  throw new ConfigError([
    `The data in Redis under "${prefix}" has ${theirs}; this program is set to ${ours}. ${what}`,
  ]);
}
