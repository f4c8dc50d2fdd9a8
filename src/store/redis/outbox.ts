import { randomBytes } from 'node:crypto';
import type { LineId } from '../../dialog/line.ts';
import { keepFor } from '../keep-for.ts';
import { fieldsToSeal, sealedFieldsOf } from '../outbox-order.ts';
import type { Sealer } from '../sealing.ts';
import type { OutboxMessage, OutboxRecord, SendOutcome, TakenMessage } from '../store.ts';
import type { RedisConnection } from './connection.ts';
import { messageScript, peekScript, settleScript, takeScript } from './outbox-lua.ts';
import type { Shards } from './shards.ts';
import { takeInOrder } from './take.ts';

/** The JSON head of a message; see `messageLua` for its places. */
type Head = readonly [
  LineId,
  OutboxMessage['channel'],
  string,
  OutboxMessage['purpose'],
  number,
  number,
  string,
  number,
  number,
  OutboxRecord['state'],
  number,
  number,
  string,
  string,
  string,
];

/** Messages under way. The lease token begins with the shard's number, so that settling needs no search. */
export function outboxOf(connection: RedisConnection, shards: Shards, sealer: Sealer) {
  const { roots, count } = shards;

  function messageOf(id: string, head: Head, sealed: Buffer): OutboxMessage {
    const [lineId, channel, language, purpose, priority, sendBefore, , , notBefore] = head;
    const { to, body, receiver } = sealedFieldsOf(sealer.open(sealed, id, 'message'));
    const before = sendBefore < 0 ? null : sendBefore;
    return {
      id,
      lineId,
      channel,
      to,
      body,
      language,
      purpose,
      priority,
      notBefore,
      sendBefore: before,
      receiver,
    };
  }

  async function inShard(id: string, root: string): Promise<OutboxRecord | undefined> {
    const kept = await connection.run(messageScript, root, [id]);
    if (!Buffer.isBuffer(kept)) return undefined;
    const cut = kept.indexOf(0);
    const head = JSON.parse(kept.toString('utf8', 0, cut)) as Head;
    const [, , , , , , , , , state, attempts, , , carrierId, sealedWhy] = head;
    const why =
      sealedWhy === ''
        ? state === 'gave-up'
          ? 'too late to send'
          : null
        : sealer.open(Buffer.from(sealedWhy, 'base64'), id, 'why');
    return {
      ...messageOf(id, head, kept.subarray(cut + 1)),
      state,
      attempts,
      carrierId: carrierId === '' ? null : carrierId,
      why,
    };
  }

  return {
    /** A message as the commit script takes it: id, JSON head, sealed fields. */
    asArguments(message: OutboxMessage): readonly (string | Buffer)[] {
      const { id, lineId, channel, language, purpose, priority, sendBefore, notBefore, receiver } = message;
      const mark = sealer.mark(receiver, lineId);
      const head: Head = [
        lineId,
        channel,
        language,
        purpose,
        priority,
        sendBefore ?? -1,
        mark,
        0,
        notBefore,
        'waiting',
        0,
        0,
        '',
        '',
        '',
      ];
      return [id, JSON.stringify(head), sealer.seal(fieldsToSeal(message), id, 'message')];
    },

    take: (now: number, limit: number, leaseMs: number): Promise<readonly TakenMessage[]> =>
      takeInOrder<TakenMessage>(count, limit, {
        async peek(shard, some) {
          const args = [now, some, keepFor.settledMessageMs].map(String);
          const flat = (
            (await connection.run(peekScript, roots[shard] ?? '', args)) as readonly Buffer[]
          ).map(String);
          return flat.flatMap((id, i) => (i % 2 === 0 ? [{ shard, id, order: Number(flat[i + 1]) }] : []));
        },
        async take(shard, ids) {
          const token = `${shard}.${randomBytes(9).toString('base64url')}`;
          const args = [String(now), String(now + leaseMs), token, ...ids];
          const flat = (await connection.run(takeScript, roots[shard] ?? '', args)) as readonly Buffer[];
          const taken = [];
          for (let i = 0; i + 2 < flat.length; i += 3) {
            const [id, head, sealed] = flat.slice(i, i + 3) as [Buffer, Buffer, Buffer];
            taken.push({
              id: id.toString(),
              taken: takenOf(id.toString(), JSON.parse(head.toString()) as Head, sealed),
            });
          }
          return taken;
        },
      }),

    async settle(id: string, leaseToken: string, outcome: SendOutcome): Promise<boolean> {
      const root = roots[Number(leaseToken.slice(0, leaseToken.indexOf('.')))];
      if (root === undefined) return false;
      const why = outcome.kind === 'sent' ? '' : sealer.seal(outcome.why, id, 'why').toString('base64');
      const carrierId = outcome.kind === 'sent' ? outcome.carrierId : '';
      const maybe = outcome.kind === 'again' && outcome.mayHaveBeenSent ? '1' : '0';
      const args = [
        id,
        leaseToken,
        outcome.kind,
        carrierId,
        why,
        String(outcome.at),
        maybe,
        String(keepFor.settledMessageMs),
      ];
      return (await connection.run(settleScript, root, args)) === 1;
    },

    /** Looks first where the line's id says that the message is, then everywhere. */
    async byId(id: string): Promise<OutboxRecord | undefined> {
      const likely = shards.rootOf(id.slice(0, Math.max(0, id.indexOf('.'))) as LineId);
      const found = await inShard(id, likely);
      if (found) return found;
      const all = await Promise.all(roots.filter((root) => root !== likely).map((root) => inShard(id, root)));
      return all.find((record) => record !== undefined);
    },
  };

  function takenOf(id: string, head: Head, sealed: Buffer): TakenMessage {
    const [, , , , , , , , , , attempts, maybe, leaseToken] = head;
    return { ...messageOf(id, head, sealed.subarray(1)), attempts, mayHaveBeenSent: maybe === 1, leaseToken };
  }
}
