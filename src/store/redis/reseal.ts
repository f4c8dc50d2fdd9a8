import type { LineId } from '../../dialog/line.ts';
import { sealedFieldsOf } from '../outbox-order.ts';
import type { Sealer } from '../sealing.ts';
import type { Resealed } from '../store.ts';
import { type RedisConnection, toldScript } from './connection.ts';
import type { MessageHead } from './kept-message.ts';
import { elementIn, headIn } from './line-elements.ts';
import { lineLua } from './line-lua.ts';
import { messageLua } from './message-lua.ts';
import type { Shards } from './shards.ts';
import { readWholeScript } from './whole-line-lua.ts';

/**
 * Puts values that were sealed anew in the place of what they were made from, unless somebody wrote there meanwhile. Then
 * messages that only waited since marks of two keys cannot be told apart become ready.
 *
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 how many elements; of each its index, as it was, as it is to be; then of each message under way its id,
 *          as it was, as it is to be, its new mark
 */
const swapScript = toldScript(
  'reseal',
  lineLua,
  messageLua,
  `
local line, at = ARGV[1], 3
for i = 1, tonumber(ARGV[2]) do
  if redis.call('LINDEX', listOf(line), ARGV[at]) == ARGV[at + 1] then
    redis.call('LSET', listOf(line), ARGV[at], ARGV[at + 2])
  end
  at = at + 3
end
for i = at, #ARGV, 4 do
  local id = ARGV[i]
  if redis.call('GET', root .. 'm:' .. id) == ARGV[i + 1] then
    redis.call('SET', root .. 'm:' .. id, ARGV[i + 2])
    local head = messageAt(id)
    redis.call('HSET', root .. 'q:' .. line, id, head[SEQ] .. ' ' .. head[PRIORITY] .. ' ' .. ARGV[i + 3])
  end
end
local all = queueOf(line)
for _, one in ipairs(all) do
  if not redis.call('ZSCORE', root .. 'ready', one.id) and not redis.call('ZSCORE', root .. 'held', one.id)
    and not mustWait(one, all) then
    ready(one.id, (messageAt(one.id)))
  end
end
return 1
`,
);

/** A value before and after; `mark` is the new one of a message. */
interface Renewed {
  readonly name: string;
  readonly was: Buffer;
  readonly is: Buffer;
  readonly mark?: string;
}

/** Brings what older keys sealed under the newest one, line by line; each line's values are changed together. */
export function resealing(
  connection: RedisConnection,
  shards: Shards,
  sealer: Sealer,
  ids: (limit: number, after: LineId | undefined) => Promise<readonly LineId[]>,
) {
  /** The sealed part of an element stands last in it. */
  function elementRenewed(lineId: LineId, bytes: Buffer, index: number): readonly Renewed[] {
    const renewedTail = (sealed: Buffer, field: string): readonly Renewed[] => {
      const renewed = sealer.renew(sealed, lineId, field);
      if (renewed === undefined) return [];
      const is = Buffer.concat([bytes.subarray(0, bytes.length - sealed.length), renewed]);
      return [{ name: String(index), was: bytes, is }];
    };
    if (index === 0) {
      const { sealedState } = headIn(bytes);
      return sealedState.length === 0 ? [] : renewedTail(sealedState, 'state');
    }
    const element = elementIn(bytes);
    if (element.kind !== 'message') return renewedTail(element.sealed, element.kind);
    const renewed = keptRenewed(lineId, element.id, element.kept);
    if (renewed === undefined) return [];
    const is = Buffer.concat([bytes.subarray(0, bytes.length - element.kept.length), renewed.kept]);
    return [{ name: String(index), was: bytes, is }];
  }

  /** @param kept JSON head, a zero byte, sealed fields */
  function keptRenewed(
    lineId: LineId,
    id: string,
    kept: Buffer,
  ): { readonly kept: Buffer; readonly mark: string } | undefined {
    const cut = kept.indexOf(0);
    const head = JSON.parse(kept.toString('utf8', 0, cut)) as MessageHead;
    const sealed = kept.subarray(cut + 1);
    const renewed = sealer.renew(sealed, id, 'message');
    const why = head[14];
    const renewedWhy = why === '' ? undefined : sealer.renew(Buffer.from(why, 'base64'), id, 'why');
    if (renewed === undefined && renewedWhy === undefined && sealer.isNewestMark(head[6])) return undefined;
    const mark = sealer.mark(sealedFieldsOf(sealer.open(sealed, id, 'message')).receiver, lineId);
    const newHead = head.with(6, mark).with(14, renewedWhy?.toString('base64') ?? why);
    return {
      mark,
      kept: Buffer.concat([Buffer.from(`${JSON.stringify(newHead)}\0`), renewed ?? sealed]),
    };
  }

  async function line(lineId: LineId): Promise<number> {
    const answer = await connection.run(readWholeScript, shards.rootOf(lineId), [lineId]);
    if (!Array.isArray(answer)) return 0;
    const [elements, , underWay] = answer as unknown as readonly [
      readonly Buffer[],
      Buffer,
      readonly Buffer[],
    ];
    const renewed = elements.flatMap((bytes, index) => elementRenewed(lineId, bytes, index));
    const messages: Renewed[] = [];
    for (let i = 0; i + 2 < underWay.length; i += 3) {
      const [id, was] = underWay.slice(i, i + 2) as [Buffer, Buffer];
      const now = keptRenewed(lineId, id.toString(), was);
      if (now !== undefined) messages.push({ name: id.toString(), was, is: now.kept, mark: now.mark });
    }
    if (renewed.length + messages.length === 0) return 0;
    await connection.run(swapScript, shards.rootOf(lineId), [
      lineId,
      String(renewed.length),
      ...renewed.flatMap(({ name, was, is }) => [name, was, is]),
      ...messages.flatMap(({ name, was, is, mark = '' }) => [name, was, is, mark]),
    ]);
    return renewed.length + messages.length;
  }

  return async (limit: number, after: string | undefined): Promise<Resealed> => {
    const page = await ids(limit, after as LineId | undefined);
    const values = await Promise.all(page.map(line));
    return { after: page.at(-1), lines: page.length, values: values.reduce((sum, n) => sum + n, 0) };
  };
}
