import { randomBytes } from 'node:crypto';
import type { LineId } from '../../dialog/line.ts';
import { keepFor } from '../keep-for.ts';
import type { OutboxRecord, SendOutcome, TakenMessage } from '../store.ts';
import type { RedisConnection } from './connection.ts';
import { type KeptMessage, openKept, packedMessageOf, recordOf, sealedWhy, takenOf } from './kept-message.ts';
import { elementIn, openPack } from './line-elements.ts';
import {
  giveBackScript,
  messageScript,
  peekScript,
  settleScript,
  takeScript,
  tellScript,
  untoldScript,
} from './outbox-lua.ts';
import type { RestSealer } from './rest/rest-sealer.ts';
import type { Shards } from './shards.ts';
import { TooFewReplicas } from './replicas.ts';
import { takeInOrder } from './take.ts';

/** A JSON head begins with a bracket, an element of a line with a small number. */
const bracket = 0x5b;

/**
 * Messages under way. The lease token begins with the shard's number, so that settling needs no search.
 * @param onSettled told when a message has come to its end and lies with its line
 */
export function outboxOf(
  connection: RedisConnection,
  shards: Shards,
  sealer: RestSealer,
  onSettled: (lineId: LineId) => void,
) {
  const { roots, count } = shards;

  async function inShard(id: string, root: string, likely: string): Promise<KeptMessage | undefined> {
    const answer = await connection.run(messageScript, root, [id, likely]);
    if (!Array.isArray(answer)) return undefined;
    const [kept, lineId] = answer as unknown as readonly [Buffer, Buffer | undefined];
    if (kept[0] === bracket || lineId === undefined) return openKept(sealer, id, kept);
    const found = settledIn(kept, id, lineId.toString() as LineId);
    const isKept = (found?.settledAt ?? 0) >= Date.now() - keepFor.settledMessageMs;
    return isKept ? found : undefined;
  }

  function settledIn(bytes: Buffer, id: string, lineId: LineId): KeptMessage | undefined {
    const element = elementIn(bytes);
    if (element.kind === 'message') return openKept(sealer, id, element.kept, element.settledAt);
    if (element.kind === 'turn') return undefined;
    const { messages } = openPack(sealer, lineId, element);
    return messages.map((text) => packedMessageOf(text, lineId)).find(({ message }) => message.id === id);
  }

  /** Looks first where the line's id says that the message is, then everywhere. */
  async function byId(id: string): Promise<OutboxRecord | undefined> {
    const lineId = id.slice(0, Math.max(0, id.indexOf('.'))) as LineId;
    const likely = shards.rootOf(lineId);
    const found = await inShard(id, likely, lineId);
    if (found) return recordOf(found);
    const others = roots.filter((root) => root !== likely);
    const all = await Promise.all(others.map((root) => inShard(id, root, '')));
    const elsewhere = all.find((record) => record !== undefined);
    return elsewhere && recordOf(elsewhere);
  }

  /** As `byId`. */
  async function noteTold(id: string): Promise<void> {
    const likely = shards.rootOf(id.slice(0, Math.max(0, id.indexOf('.'))) as LineId);
    if ((await connection.run(tellScript, likely, ['', id])) !== 0) return;
    const others = roots.filter((root) => root !== likely);
    await Promise.all(others.map((root) => connection.run(tellScript, root, ['', id])));
  }

  function takenIn(answer: unknown) {
    const flat = answer as readonly Buffer[];
    const taken: { readonly id: string; readonly taken: TakenMessage }[] = [];
    for (let i = 0; i + 2 < flat.length; i += 3) {
      const [id, head, sealed] = flat.slice(i, i + 3) as [Buffer, Buffer, Buffer];
      const kept = openKept(sealer, id.toString(), Buffer.concat([head, sealed]));
      taken.push({ id: id.toString(), taken: takenOf(kept) });
    }
    return taken;
  }

  /** Nobody sends what replicas may not have as taken; so that it does not count as perhaps sent, it is put back. */
  const giveBack = (shard: number, now: number) => async (error: unknown) => {
    if (error instanceof TooFewReplicas) {
      const back = takenIn(error.answer).map(({ id, taken }) => {
        const outcome = [taken.leaseToken, 'again', '', '', now, 0, keepFor.settledMessageMs, Date.now(), 0];
        return connection.run(giveBackScript, roots[shard] ?? '', [id, ...outcome.map(String)]);
      });
      await Promise.allSettled(back);
    }
    throw error;
  };

  return {
    take: (now: number, limit: number, leaseMs: number): Promise<readonly TakenMessage[]> =>
      takeInOrder<TakenMessage>(count, limit, {
        async peek(shard, some) {
          const args = [now, some, keepFor.settledMessageMs, Date.now()].map(String);
          const flat = (
            (await connection.run(peekScript, roots[shard] ?? '', args)) as readonly Buffer[]
          ).map(String);
          return flat.flatMap((id, i) => (i % 2 === 0 ? [{ shard, id, order: Number(flat[i + 1]) }] : []));
        },
        async take(shard, ids) {
          const token = `${shard}.${randomBytes(9).toString('base64url')}`;
          const args = [String(now), String(now + leaseMs), token, ...ids];
          const answer = connection.run(takeScript, roots[shard] ?? '', args);
          return takenIn(await answer.catch(giveBack(shard, now)));
        },
      }),

    async settle(id: string, leaseToken: string, outcome: SendOutcome): Promise<boolean> {
      const root = roots[Number(leaseToken.slice(0, leaseToken.indexOf('.')))];
      if (root === undefined) return false;
      const why = outcome.kind === 'sent' ? '' : sealedWhy(sealer, outcome.why, id);
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
        String(Date.now()),
        outcome.kind === 'gave-up' || (outcome.kind === 'sent' && outcome.tellLine === true) ? '1' : '0',
      ];
      const lineId = String(await connection.run(settleScript, root, args));
      if (lineId === '') return false;
      if (outcome.kind !== 'again') onSettled(lineId as LineId);
      return true;
    },

    byId,

    /** Gathers from every shard; what is no longer kept is noted as told. */
    async untold(limit: number): Promise<readonly OutboxRecord[]> {
      const found = await Promise.all(
        roots.map(async (root) => {
          const flat = ((await connection.run(untoldScript, root, [String(limit)])) as readonly Buffer[]).map(
            String,
          );
          return flat.flatMap((id, i) => (i % 2 === 0 ? [{ id, endedAt: Number(flat[i + 1]) }] : []));
        }),
      );
      const first = found.flat().sort((a, b) => a.endedAt - b.endedAt);
      const records = await Promise.all(
        first.slice(0, limit).map(async ({ id }) => {
          const record = await byId(id);
          if (record === undefined) await noteTold(id);
          return record;
        }),
      );
      return records.filter((record) => record !== undefined);
    },

    noteTold,

    /** Lines that came from elsewhere with messages that were given up: they are told once more. */
    async tellAgain(lineId: LineId, ids: readonly string[]): Promise<void> {
      if (ids.length > 0)
        await connection.run(tellScript, shards.rootOf(lineId), [String(Date.now()), ...ids]);
    },
  };
}
