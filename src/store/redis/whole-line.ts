import type { LineId } from '../../dialog/line.ts';
import { StoreUnavailable } from '../../errors.ts';
import { checkWholeLine } from '../commit-check.ts';
import { keepFor } from '../keep-for.ts';
import type { AlertEntry, WholeLine, WholeMessage } from '../store.ts';
import { inOrder } from '../whole-order.ts';
import { type alertCodes, alertsArgument, claimTooOld } from './alert-codes.ts';
import { entryOf } from './alerts.ts';
import { type Answer, type RedisConnection } from './connection.ts';
import { openHistory } from './history.ts';
import { messageArguments, openKept, packedMessage, wholeOf } from './kept-message.ts';
import { elementIn, headIn, inboundBytes, restElement, stateOf } from './line-elements.ts';
import { packsOf } from './packer.ts';
import type { RestSealer } from './rest/rest-sealer.ts';
import type { Shards } from './shards.ts';
import { readWholeScript, writeWholeScript } from './whole-line-lua.ts';

const minuteMs = 60_000;

/** Reads and writes everything of a line at once. */
export function wholeLines(
  connection: RedisConnection,
  shards: Shards,
  sealer: RestSealer,
  codes: ReturnType<typeof alertCodes>,
) {
  /** The recent inbound ids as the head has them. */
  const recentOf = ({ replies }: WholeLine): Buffer =>
    Buffer.concat(
      replies.map(({ inbound, keptAt }) => {
        const minute = Buffer.alloc(4);
        minute.writeUInt32BE(Math.floor(keptAt / minuteMs));
        return Buffer.concat([inboundBytes(inbound), minute]);
      }),
    );

  function packs(
    { lineId, state, journal, replies }: WholeLine,
    settled: readonly WholeMessage[],
  ): readonly Buffer[] {
    return packsOf({ journal }, journal.length).map(({ journal: part, firstSeq, isLast }) => {
      const kept = isLast ? settled : [];
      const packed = kept.map(packedMessage);
      return restElement(
        sealer,
        lineId,
        { state: isLast ? state : '', journal: part, replies: isLast ? replies : [], messages: packed },
        firstSeq,
        kept.map(({ id }) => id),
      );
    });
  }

  function argumentsFor(whole: WholeLine): readonly (string | Buffer)[] {
    const { lineId, version, journal, nextDueAt, outbox, alerts } = whole;
    const made = packs(
      whole,
      outbox.filter((m) => m.settledAt !== null),
    );
    return [
      lineId,
      String(version),
      String(journal.length),
      recentOf(whole),
      '',
      nextDueAt === null ? '' : String(nextDueAt),
      '',
      alertsArgument(alerts),
      String(keepFor.settledMessageMs),
      String(made.length),
      ...made,
      ...outbox.flatMap((m) =>
        m.settledAt === null
          ? ['', String(m.leaseUntil), ...messageArguments(sealer, m)]
          : [String(m.settledAt), '', m.id, '', ''],
      ),
    ];
  }

  return {
    async read(lineId: LineId): Promise<WholeLine | undefined> {
      const answer = await connection.run(readWholeScript, shards.rootOf(lineId), [lineId]);
      if (!Array.isArray(answer)) return undefined;
      const [elements, due, underWay, alerts] = answer as unknown as readonly [
        readonly Buffer[],
        Buffer,
        readonly Buffer[],
        readonly Buffer[],
      ];
      const [first, ...rest] = elements;
      if (first === undefined) return undefined;
      const { version } = headIn(first);
      const last = rest.findLast((bytes) => elementIn(bytes).kind === 'rest');
      const now = Date.now();
      const keep = { repliesFrom: now - keepFor.replyMs, messagesFrom: now - keepFor.settledMessageMs };
      const { journal, replies, messages } = openHistory(sealer, lineId, rest.map(elementIn), keep);
      const waiting = byThrees(underWay).map(([id, kept, leaseUntil]) => ({
        ...openKept(sealer, id.toString(), kept),
        leaseUntil: Number(leaseUntil),
      }));
      return {
        lineId,
        version,
        state: stateOf(sealer, lineId, first, last),
        nextDueAt: due.length === 0 ? null : Number(due),
        journal,
        replies,
        outbox: inOrder([...messages, ...waiting.toSorted((a, b) => a.seq - b.seq)].map(wholeOf)),
        alerts: alertsIn(alerts),
      };
    },

    async write(whole: WholeLine): Promise<'written' | 'there'> {
      checkWholeLine(whole);
      const { lineId, alerts } = whole;
      const args = argumentsFor(whole);
      const send = async (claimedUntil: string): Promise<readonly string[]> =>
        (
          (await connection.run(
            writeWholeScript,
            shards.rootOf(lineId),
            args.with(6, claimedUntil),
          )) as readonly Answer[]
        ).map(String);
      let [kind, ...rest] = await send('');
      if (kind === 'claim') {
        const claim = await codes.claim(lineId, rest, alerts);
        [kind, ...rest] = await send(String(claim.until));
        if (kind !== 'written') await claim.release();
      }
      switch (kind) {
        case 'written':
        case 'there':
          return kind;
        case 'late':
          throw claimTooOld();
        default:
          throw new StoreUnavailable(
            `Message ${rest[0]} of line ${lineId} is already kept. Nothing of this line was written.`,
          );
      }
    },
  };
}

function alertsIn(flat: readonly Buffer[]): readonly AlertEntry[] {
  return flat
    .flatMap((id, i) => (i % 2 === 0 ? [entryOf(id.toString(), flat[i + 1] ?? Buffer.alloc(0))] : []))
    .toSorted((a, b) => (a.alertId < b.alertId ? -1 : 1));
}

function byThrees(flat: readonly Buffer[]): readonly (readonly [Buffer, Buffer, Buffer])[] {
  return flat.flatMap((_, i) => (i % 3 === 0 ? [flat.slice(i, i + 3) as [Buffer, Buffer, Buffer]] : []));
}
