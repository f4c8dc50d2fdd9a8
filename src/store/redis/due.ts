import type { LineId } from '../../dialog/line.ts';
import { type RedisConnection, script } from './connection.ts';
import type { Shards } from './shards.ts';
import { takeInOrder } from './take.ts';

/**
 * KEYS[1]  root of a shard
 * ARGV     1 now (epoch ms); 2 how many
 * Returns  line id and due time in turn, earliest first, of lines that are due and not taken
 */
const peekScript = script(
  'peek-due',
  `
local found, limit, from = {}, tonumber(ARGV[2]), 0
while #found < 2 * limit do
  local some = redis.call('ZRANGE', KEYS[1] .. 'due', '-inf', ARGV[1], 'BYSCORE', 'LIMIT', from, limit, 'WITHSCORES')
  if #some == 0 then break end
  for i = 1, #some, 2 do
    local lease = redis.call('ZSCORE', KEYS[1] .. 'taken', some[i])
    if (not lease or tonumber(lease) <= tonumber(ARGV[1])) and #found < 2 * limit then
      found[#found + 1] = some[i]
      found[#found + 1] = some[i + 1]
    end
  end
  from = from + limit
end
return found
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 now (epoch ms); 2 end of lease (epoch ms); then line ids
 * Returns  the line ids that were taken
 */
const takeScript = script(
  'take-due',
  `
local taken = {}
for i = 3, #ARGV do
  local due = redis.call('ZSCORE', KEYS[1] .. 'due', ARGV[i])
  local lease = redis.call('ZSCORE', KEYS[1] .. 'taken', ARGV[i])
  if due and tonumber(due) <= tonumber(ARGV[1]) and (not lease or tonumber(lease) <= tonumber(ARGV[1])) then
    redis.call('ZADD', KEYS[1] .. 'taken', ARGV[2], ARGV[i])
    taken[#taken + 1] = ARGV[i]
  end
end
return taken
`,
);

/** Lines whose due time has come. A taken line keeps its place in the order and is stepped over. */
export function dueLines(connection: RedisConnection, { roots, count }: Shards) {
  const run = async (name: typeof peekScript, shard: number, args: readonly (string | number)[]) =>
    ((await connection.run(name, roots[shard] ?? '', args.map(String))) as readonly Buffer[]).map(String);

  return {
    take: (now: number, limit: number, leaseMs: number): Promise<readonly LineId[]> =>
      takeInOrder<LineId>(count, limit, {
        async peek(shard, some) {
          const flat = await run(peekScript, shard, [now, some]);
          return flat.flatMap((id, i) => (i % 2 === 0 ? [{ shard, id, order: Number(flat[i + 1]) }] : []));
        },
        async take(shard, ids) {
          const taken = await run(takeScript, shard, [now, now + leaseMs, ...ids]);
          return taken.map((id) => ({ id, taken: id as LineId }));
        },
      }),
  };
}
