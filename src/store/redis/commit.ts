import { createHash } from 'node:crypto';
import type { LineId } from '../../dialog/line.ts';
import { StaleState, StoreUnavailable } from '../../errors.ts';
import { checkCommit } from '../commit-check.ts';
import { keepFor } from '../keep-for.ts';
import type { Sealer } from '../sealing.ts';
import type { CommitOutcome, LineCommit, StoredLine } from '../store.ts';
import { type alertCodes, type Claim, claimTooOld } from './alert-codes.ts';
import { commitScript } from './commit-lua.ts';
import { type Answer, type RedisConnection, script } from './connection.ts';
import type { journalOf } from './journal.ts';
import type { outboxOf } from './outbox.ts';
import type { Shards } from './shards.ts';

/**
 * KEYS[1]  root of the line's shard
 * ARGV     1 what and which: `l:<line>` or `r:<hash>`
 * Returns  the value, or nil
 */
const getScript = script('get', `return redis.call('GET', KEYS[1] .. ARGV[1])`);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 how many; 2 line id to begin after, '' for the first
 * Returns  line ids in order
 */
const idsScript = script(
  'line-ids',
  `
local from = ARGV[2] == '' and '-' or '(' .. ARGV[2]
return redis.call('ZRANGE', KEYS[1] .. 'ids', from, '+', 'BYLEX', 'LIMIT', 0, ARGV[1])
`,
);

const headerBytes = 12;

/** What a commit needs of its neighbours. */
export interface CommitParts {
  readonly codes: ReturnType<typeof alertCodes>;
  readonly journal: ReturnType<typeof journalOf>;
  readonly outbox: ReturnType<typeof outboxOf>;
}

/** Lines, and the one script that changes them. */
export function linesOf(connection: RedisConnection, shards: Shards, sealer: Sealer, parts: CommitParts) {
  const { codes, journal, outbox } = parts;

  function argumentsFor(change: LineCommit): readonly (string | Buffer)[] {
    const { lineId, inboundId, nextDueAt } = change;
    const reply =
      inboundId === undefined
        ? ['', '']
        : [replyKey(lineId, inboundId), sealer.seal(change.reply, inboundId, 'reply')];
    return [
      lineId,
      String(change.expectedVersion),
      ...reply,
      String(keepFor.replyMs),
      sealer.seal(change.state, lineId, 'state'),
      nextDueAt === null ? '' : String(nextDueAt),
      String(change.journal.length),
      change.journal.length === 0 ? '' : journal.seal(lineId, change.journal),
      '',
      JSON.stringify(change.alerts.map((a) => [a.alertId, a.code, a.tier, a.raisedAt, a.open])),
      ...change.outbox.flatMap((message) => outbox.asArguments(message)),
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
        const [version, elements, folded, ...givenUp] = rest as [number, number, number, ...Buffer[]];
        await tidy(change, elements, folded, givenUp.map(String));
        return { kind: 'committed', version };
      }
      case 'repeated':
        return { kind: 'repeated', reply: sealer.open(rest[0] as Buffer, inboundId, 'reply') };
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

  /** What is done after the change is kept, and may fail: both are made good later, so nobody is told. */
  async function tidy(
    change: LineCommit,
    elements: number,
    folded: number,
    givenUp: readonly string[],
  ): Promise<void> {
    // The mother's answer does not wait for the folding of her journal.
    journal.fold(change.lineId, elements, folded).catch(() => undefined);
    if (givenUp.length > 0) await Promise.allSettled([codes.giveUp(givenUp, change.alerts)]);
  }

  return {
    commit: committed,

    async load(lineId: LineId): Promise<StoredLine | undefined> {
      const kept = await connection.run(getScript, shards.rootOf(lineId), [`l:${lineId}`]);
      if (!Buffer.isBuffer(kept)) return undefined;
      return {
        version: kept.readUInt32BE(0),
        state: sealer.open(kept.subarray(headerBytes), lineId, 'state'),
      };
    },

    async replyTo(inboundId: string, lineId: LineId): Promise<string | undefined> {
      const kept = await connection.run(getScript, shards.rootOf(lineId), [
        `r:${replyKey(lineId, inboundId)}`,
      ]);
      return Buffer.isBuffer(kept) ? sealer.open(kept, inboundId, 'reply') : undefined;
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

/** Short, because there is one for every message that came in. */
function replyKey(lineId: LineId, inboundId: string): string {
  return createHash('sha256').update(`${lineId} ${inboundId}`).digest().toString('base64url', 0, 12);
}
