import type { LineId } from '../../dialog/line.ts';
import { StaleState, StoreUnavailable } from '../../errors.ts';
import { checkCommit } from '../commit-check.ts';
import { inboundHash } from '../inbound-hash.ts';
import { keepFor } from '../keep-for.ts';
import type { CommitOutcome, LineCommit, StoredLine } from '../store.ts';
import { type alertCodes, alertsArgument, type Claim, claimTooOld } from './alert-codes.ts';
import { commitScript } from './commit-lua.ts';
import { type Answer, type RedisConnection, script, toldScript } from './connection.ts';
import { replyIn } from './history.ts';
import { messageArguments } from './kept-message.ts';
import { headIn, inboundBytes, stateOf, turnTail } from './line-elements.ts';
import { lineLua } from './line-lua.ts';
import type { Packer } from './packer.ts';
import { openGiveWay } from './rest/give-way.ts';
import type { RestSealer } from './rest/rest-sealer.ts';
import type { Shards } from './shards.ts';

/**
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id
 * Returns  the line's head element, and its last pack where that has the state; or nil
 */
const stateScript = script(
  'state',
  lineLua,
  `
local head, _, _, _, count = headOf(ARGV[1])
if not head then return nil end
if #head > HEAD + 10 * count then return { head } end
return { head, lastPack(ARGV[1]) }
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 how many; 2 line id to begin after, '' for the first
 * Returns  line ids in the order in which they were first kept
 */
const idsScript = script(
  'line-ids',
  lineLua,
  `
local from = '-'
if ARGV[2] ~= '' then
  local _, _, _, place = headOf(ARGV[2])
  from = '(' .. place .. '-1'
end
local found = {}
for _, entry in ipairs(redis.call('XRANGE', root .. 'ids', from, '+', 'COUNT', ARGV[1])) do found[#found + 1] = entry[2][2] end
return found
`,
);

/**
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id
 * Returns  the line's elements, of which the reply to an inbound id is told
 */
const replyScript = toldScript(
  'reply-to',
  lineLua,
  `
noteTold()
return redis.call('LRANGE', listOf(ARGV[1]), 0, -1)
`,
);

const minuteMs = 60_000;

/** What a commit needs of its neighbours. */
export interface CommitParts {
  readonly codes: ReturnType<typeof alertCodes>;
  readonly packer: Packer;
}

/** Lines, and the one script that changes them. */
export function linesOf(connection: RedisConnection, shards: Shards, sealer: RestSealer, parts: CommitParts) {
  const { codes, packer } = parts;
  const giveWay = openGiveWay();

  function argumentsFor(change: LineCommit): readonly (string | Buffer)[] {
    const { lineId, inboundId, nextDueAt, journal } = change;
    const now = Date.now();
    const inbound = inboundId === undefined ? undefined : inboundHash(inboundId);
    const record = { reply: inboundId === undefined ? undefined : change.reply, journal };
    const isSilent = inbound === undefined && journal.length === 0;
    return [
      lineId,
      String(change.expectedVersion),
      inbound === undefined ? '' : inboundBytes(inbound),
      String(Math.floor(now / minuteMs)),
      String(Math.floor((now - keepFor.replyMs) / minuteMs)),
      sealer.seal(change.state, lineId, 'state'),
      nextDueAt === null ? '' : String(nextDueAt),
      String(journal.length),
      isSilent ? '' : turnTail(sealer, lineId, record, inbound, now),
      '',
      alertsArgument(change.alerts),
      ...change.outbox.flatMap((message) => messageArguments(sealer, message)),
    ];
  }

  const send = async (
    lineId: LineId,
    args: readonly (string | Buffer)[],
  ): Promise<readonly [string, ...Answer[]]> => {
    const [kind, ...rest] = (await connection.run(
      commitScript,
      shards.rootOf(lineId),
      args,
    )) as readonly Answer[];
    return [String(kind), ...rest];
  };

  /** Raising an alert takes two more trips: the script names the codes it needs, they are claimed, and it runs again. */
  async function committed(change: LineCommit): Promise<CommitOutcome> {
    checkCommit(change);
    const { lineId } = change;
    const args = argumentsFor(change);
    const first = await send(lineId, args);
    if (first[0] !== 'claim') return outcomeOf(change, first);
    const claim = await codes.claim(lineId, first.slice(1).map(String), change.alerts);
    const answer = await sendClaimed(lineId, args, claim);
    if (answer[0] !== 'committed') await claim.release();
    return outcomeOf(change, answer);
  }

  /** When no answer came the change may have been kept; its codes stay claimed, and are looked into when next wanted. */
  function sendClaimed(lineId: LineId, args: readonly (string | Buffer)[], claim: Claim) {
    return send(lineId, args.with(9, String(claim.until)));
  }

  async function outcomeOf(
    change: LineCommit,
    [kind, ...rest]: readonly [string, ...Answer[]],
  ): Promise<CommitOutcome> {
    const { lineId, inboundId = '' } = change;
    switch (kind) {
      case 'committed': {
        const [version, elements, ...givenUp] = rest as [number, number, ...Buffer[]];
        packer.touched(lineId, elements);
        // May fail: it is made good when a code is next wanted, so nobody is told.
        if (givenUp.length > 0) await Promise.allSettled([codes.giveUp(givenUp.map(String), change.alerts)]);
        return { kind: 'committed', version };
      }
      case 'repeated': {
        const reply = kept(lineId, rest as readonly Buffer[], inboundId);
        if (reply === undefined) throw unreadableRepeat(lineId);
        return { kind: 'repeated', reply };
      }
      case 'stale':
        throw new StaleState(
          `Line ${lineId} is at version ${String(rest[0])}, not ${change.expectedVersion}.`,
        );
      case 'late':
        throw claimTooOld();
      case 'twice':
        throw new StoreUnavailable(
          `Message ${String(rest[0])} of line ${lineId} is already kept. Nothing of this change was kept.`,
        );
      default:
        throw new StoreUnavailable(
          `The commit script gave an unknown answer, "${kind}". Do versions of Eightfeeds differ?`,
        );
    }
  }

  const kept = (lineId: LineId, elements: readonly Buffer[], inboundId: string): string | undefined =>
    replyIn(sealer, lineId, elements, inboundHash(inboundId), Date.now() - keepFor.replyMs - minuteMs);

  return {
    commit: committed,

    async load(lineId: LineId): Promise<StoredLine | undefined> {
      const answer = await connection.run(stateScript, shards.rootOf(lineId), [lineId]);
      if (!Array.isArray(answer)) return undefined;
      const [head, rest] = answer as unknown as readonly [Buffer, Buffer | undefined];
      const state = (): string => stateOf(sealer, lineId, head, rest);
      return { version: headIn(head).version, state: rest === undefined ? state() : await giveWay(state) };
    },

    async replyTo(inboundId: string, lineId: LineId): Promise<string | undefined> {
      const all = await connection.run(replyScript, shards.rootOf(lineId), [lineId]);
      return kept(lineId, (all as readonly Buffer[]).slice(1), inboundId);
    },

    /** Shard by shard, in each by id: stable, and one or two shards a page. */
    async ids(limit: number, after: LineId | undefined): Promise<readonly LineId[]> {
      const found: LineId[] = [];
      const from = after === undefined ? 0 : shards.indexOf(after);
      for (let shard = from; shard < shards.count && found.length < limit; shard++) {
        const start = shard === from ? (after ?? '') : '';
        const args = [String(limit - found.length), start];
        const ids = (await connection.run(idsScript, shards.roots[shard] ?? '', args)) as readonly Buffer[];
        found.push(...ids.map((id) => id.toString() as LineId));
      }
      return found;
    },
  };
}

function unreadableRepeat(lineId: LineId): StoreUnavailable {
  return new StoreUnavailable(
    `The reply that line ${lineId} was given before cannot be found. Nothing was changed.`,
  );
}
