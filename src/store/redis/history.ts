import type { LineId } from '../../dialog/line.ts';
import type { StoredJournalEntry, WholeReply } from '../store.ts';
import { type RedisConnection, script } from './connection.ts';
import { type KeptMessage, openKept, packedMessageOf } from './kept-message.ts';
import { type Element, elementIn, entriesOf, openPack, openTurn } from './line-elements.ts';
import type { RestSealer } from './rest/rest-sealer.ts';
import type { Shards } from './shards.ts';

/**
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id
 * Returns  the line's elements, or an empty list
 */
export const elementsScript = script(
  'elements',
  `return redis.call('LRANGE', KEYS[1] .. 'l:' .. ARGV[1], 0, -1)`,
);

/** Everything after the heads of some elements, opened. */
export interface History {
  readonly journal: readonly StoredJournalEntry[];
  readonly replies: readonly WholeReply[];
  readonly messages: readonly KeptMessage[];
}

/** Opens all of the given elements. Replies and settled messages kept before their time are over are left out. */
export function openHistory(
  sealer: RestSealer,
  lineId: LineId,
  elements: readonly Element[],
  keep: { readonly repliesFrom: number; readonly messagesFrom: number },
): History {
  const journal: StoredJournalEntry[] = [];
  const replies: WholeReply[] = [];
  const messages: KeptMessage[] = [];
  for (const element of elements) {
    if (element.kind === 'message') {
      messages.push(openKept(sealer, element.id, element.kept, element.settledAt));
      continue;
    }
    const { firstSeq } = element;
    if (element.kind === 'turn') {
      const { inbound, keptAt } = element;
      const turn = openTurn(sealer, lineId, element.sealed);
      for (const [i, entry] of turn.journal.entries()) journal.push({ seq: firstSeq + i, ...entry });
      if (turn.reply !== undefined) replies.push({ inbound, keptAt, reply: turn.reply });
    } else {
      const pack = openPack(sealer, lineId, element);
      for (const [i, entry] of pack.journal.entries()) journal.push({ seq: firstSeq + i, ...entry });
      replies.push(...pack.replies);
      messages.push(...pack.messages.map((text) => packedMessageOf(text, lineId)));
    }
  }
  return {
    journal,
    replies: replies.filter(({ keptAt }) => keptAt >= keep.repliesFrom),
    messages: messages.filter(({ settledAt }) => (settledAt ?? 0) >= keep.messagesFrom),
  };
}

/** The reply to an inbound id among the elements after a line's head, latest first. */
export function replyIn(
  sealer: RestSealer,
  lineId: LineId,
  elements: readonly Buffer[],
  inbound: number,
  from: number,
): string | undefined {
  for (const element of elements.map(elementIn).toReversed()) {
    if (element.kind === 'turn' && element.inbound === inbound && element.keptAt >= from)
      return openTurn(sealer, lineId, element.sealed).reply;
    if (element.kind === 'turn' || element.kind === 'message') continue;
    const { replies } = openPack(sealer, lineId, element);
    const found = replies.find((one) => one.inbound === inbound && one.keptAt >= from);
    if (found !== undefined) return found.reply;
  }
  return undefined;
}

/** Reads the journal of a line. */
export function journalOf(connection: RedisConnection, shards: Shards, sealer: RestSealer) {
  return {
    async read(lineId: LineId, limit: number, afterSeq: number): Promise<readonly StoredJournalEntry[]> {
      const all = (await connection.run(elementsScript, shards.rootOf(lineId), [
        lineId,
      ])) as readonly Buffer[];
      const wanted: StoredJournalEntry[] = [];
      for (const element of all.slice(1).map(elementIn)) {
        if (wanted.length >= limit) break;
        if (element.kind === 'message' || element.firstSeq + element.count - 1 <= afterSeq) continue;
        const { firstSeq } = element;
        for (const [i, entry] of entriesOf(sealer, lineId, element).entries())
          if (firstSeq + i > afterSeq) wanted.push({ seq: firstSeq + i, ...entry });
      }
      return wanted.slice(0, limit);
    },
  };
}
