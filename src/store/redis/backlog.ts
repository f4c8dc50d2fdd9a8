import type { Backlog } from '../store.ts';
import { type RedisConnection, script } from './connection.ts';
import type { Shards } from './shards.ts';

/**
 * KEYS[1]  root of a shard
 * ARGV     1 now (epoch ms)
 * Returns  lines due, oldest due time or '', messages waiting, oldest of them or '', open alerts
 */
const backlogScript = script(
  'backlog',
  `
local function waiting(name)
  local first = redis.call('ZRANGE', KEYS[1] .. name, '-inf', ARGV[1], 'BYSCORE', 'LIMIT', 0, 1, 'WITHSCORES')
  return redis.call('ZCOUNT', KEYS[1] .. name, '-inf', ARGV[1]), first[2] or ''
end
local due, oldestDue = waiting('due')
local messages, oldestMessage = waiting('active')
return { due, oldestDue, messages, oldestMessage, redis.call('ZCARD', KEYS[1] .. 'urgent') }
`,
);

/** Sums what waits over all shards. */
export async function backlogOf(
  connection: RedisConnection,
  { roots }: Shards,
  now: number,
): Promise<Backlog> {
  const answers = await Promise.all(roots.map((root) => connection.run(backlogScript, root, [String(now)])));
  const rows = answers as unknown as readonly (readonly [number, Buffer, number, Buffer, number])[];
  return {
    dueLines: sum(rows.map((row) => row[0])),
    oldestDueAt: oldest(rows.map((row) => row[1])),
    waitingMessages: sum(rows.map((row) => row[2])),
    oldestMessageAt: oldest(rows.map((row) => row[3])),
    openAlerts: sum(rows.map((row) => row[4])),
  };
}

function sum(counts: readonly number[]): number {
  return counts.reduce((total, count) => total + count, 0);
}

function oldest(times: readonly Buffer[]): number | null {
  const known = times.filter((time) => time.length > 0).map(Number);
  return known.length === 0 ? null : Math.min(...known);
}
