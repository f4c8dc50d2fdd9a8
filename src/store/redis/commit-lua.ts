import { alertLua } from './alert-lua.ts';
import { toldScript } from './connection.ts';
import { lineLua } from './line-lua.ts';
import { messageLua } from './message-lua.ts';

/** Inbound ids kept of one line: more than can be asked in two days; one that is flooded forgets the oldest sooner. */
const mostRecent = 1_000;

/**
 * One turn, all or nothing. Nothing is written before every refusal has been ruled out, since a script is not undone.
 *
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 expected version; 3 hash of the inbound id (6 bytes), '' for none; 4 now and 5 before when inbound ids
 *          are forgotten (minutes since 1970); 6 sealed state; 7 next due time (epoch ms), '' for none; 8 number of journal
 *          entries; 9 the turn's element after its place and count, '' for none; 10 until when the codes of new alerts are
 *          claimed (epoch ms), '' when none is; 11 alerts as JSON; then id, JSON head and sealed fields of each message
 * Returns  {'committed', version, elements of the line, codes given up...} | {'repeated', elements of the line...}
 *          | {'stale', version} | {'claim', codes not claimed yet...} | {'late'} claim too old | {'twice', message id}
 */
export const commitScript = toldScript(
  'commit',
  lineLua,
  messageLua,
  alertLua,
  `
local line, inbound = ARGV[1], ARGV[3]
local head, version, entries, place, count = headOf(line)
local recent = ''
if count > 0 then
  recent = string.sub(head, HEAD + 1, HEAD + 10 * count)
  local forget, from = tonumber(ARGV[5]), 1
  while from < #recent and struct.unpack('>I4', recent, from + 6) < forget do from = from + 10 end
  if from > 1 then recent = string.sub(recent, from) end
  if inbound ~= '' then
    local at = string.find(recent, inbound, 1, true)
    while at and at % 10 ~= 1 do at = string.find(recent, inbound, at + 1, true) end
    if at then
      noteTold()
      return { 'repeated', unpack(redis.call('LRANGE', listOf(line), 1, -1)) }
    end
  end
end
if version ~= tonumber(ARGV[2]) then return { 'stale', version } end

local alerts = ARGV[11] == '[]' and {} or cjson.decode(ARGV[11])
local before, unclaimed, givenUp = compareAlerts(alerts)
if #unclaimed > 0 then
  if ARGV[10] == '' then return { 'claim', unpack(unclaimed) } end
  if isTooLate(ARGV[10]) then return { 'late' } end
end
local seen = {}
for i = 12, #ARGV, 3 do
  if seen[ARGV[i]] or isKept(line, ARGV[i]) then return { 'twice', ARGV[i] } end
  seen[ARGV[i]] = true
end

version = version + 1
local added = tonumber(ARGV[8])
if inbound ~= '' then
  recent = recent .. inbound .. struct.pack('>I4', ARGV[4])
  if #recent > 10 * ${mostRecent} then recent = string.sub(recent, 11) end
end
local list, length = listOf(line), 0
if head then redis.call('LSET', list, 0, newHead(version, entries + added, place, recent, ARGV[6]))
else redis.call('RPUSH', list, newHead(version, added, newPlace(line), recent, ARGV[6])) end
if ARGV[9] ~= '' then
  length = redis.call('RPUSH', list, struct.pack('>BI4I4', 1, entries + 1, added) .. ARGV[9])
end
if ARGV[7] == '' then redis.call('ZREM', root .. 'due', line) else redis.call('ZADD', root .. 'due', ARGV[7], line) end
redis.call('ZREM', root .. 'taken', line)
for i = 12, #ARGV, 3 do post(line, ARGV[i], cjson.decode(ARGV[i + 1]), '\\0' .. ARGV[i + 2], 0) end
writeAlerts(line, alerts, before)
return { 'committed', version, length, unpack(givenUp) }
`,
);
