import { script } from './connection.ts';
import { messageLua } from './message-lua.ts';

/**
 * One turn, all or nothing. Nothing is written before every refusal has been ruled out, since a script is not undone.
 *
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 expected version; 3 hash of the inbound id, '' for none; 4 sealed reply; 5 its time to live (ms);
 *          6 sealed state; 7 next due time (epoch ms), '' for none; 8 number of journal entries; 9 sealed entries;
 *          10 until when the codes of new alerts are claimed (epoch ms), '' when none is; 11 alerts as JSON
 *          [[alert id, code, tier, raised at (epoch ms), open], ...]; then id, JSON head and sealed fields of each message
 * Returns  {'committed', version, journal elements, of them folded, codes given up...} | {'repeated', sealed reply}
 *          | {'stale', version} | {'claim', codes not claimed yet...} | {'late'} claim too old | {'twice', message id}
 */
export const commitScript = script(
  'commit',
  messageLua,
  `
local line, expected, version = ARGV[1], tonumber(ARGV[2]), 0
if ARGV[3] ~= '' then
  local reply = redis.call('GET', root .. 'r:' .. ARGV[3])
  if reply then return { 'repeated', reply } end
end
local entries, folded = 0, 0
local header = redis.call('GETRANGE', root .. 'l:' .. line, 0, 11)
if #header == 12 then version, entries, folded = struct.unpack('>I4I4I4', header) end
if version ~= expected then return { 'stale', version } end

local alerts, unclaimed, givenUp, before = cjson.decode(ARGV[11]), { 'claim' }, {}, {}
for i, alert in ipairs(alerts) do
  local kept = redis.call('HGET', root .. 'alerts', alert[1])
  if kept then before[i] = cjson.decode(kept) end
  local had = before[i]
  local goesOn = had and had[5] and alert[5] and had[2] == alert[2]
  if alert[5] and not goesOn then unclaimed[#unclaimed + 1] = alert[2] end
  if had and had[5] and not goesOn then givenUp[#givenUp + 1] = had[2] end
end
if #unclaimed > 1 then
  if ARGV[10] == '' then return unclaimed end
  local time = redis.call('TIME')
  if time[1] * 1000 >= tonumber(ARGV[10]) then return { 'late' } end
end
local seen = {}
for i = 12, #ARGV, 3 do
  if seen[ARGV[i]] or redis.call('EXISTS', root .. 'm:' .. ARGV[i]) == 1 then return { 'twice', ARGV[i] } end
  seen[ARGV[i]] = true
end

version = version + 1
local added = tonumber(ARGV[8])
redis.call('SET', root .. 'l:' .. line, struct.pack('>I4I4I4', version, entries + added, folded) .. ARGV[6])
if version == 1 then redis.call('ZADD', root .. 'ids', 0, line) end
if ARGV[7] == '' then redis.call('ZREM', root .. 'due', line) else redis.call('ZADD', root .. 'due', ARGV[7], line) end
redis.call('ZREM', root .. 'taken', line)
if ARGV[3] ~= '' then redis.call('SET', root .. 'r:' .. ARGV[3], ARGV[4], 'PX', ARGV[5]) end
local elements = 0
if added > 0 then
  elements = redis.call('RPUSH', root .. 'j:' .. line, struct.pack('>I4I4', entries + 1, added) .. ARGV[9])
end

for i = 12, #ARGV, 3 do
  local id, head = ARGV[i], cjson.decode(ARGV[i + 1])
  head[SEQ] = redis.call('INCR', root .. 'seq')
  keep(id, head, '\\0' .. ARGV[i + 2])
  redis.call('ZADD', root .. 'active', head[NOT_BEFORE], id)
  if head[SEND_BEFORE] >= 0 then redis.call('ZADD', root .. 'late', head[SEND_BEFORE], id) end
  local mine = { seq = head[SEQ], priority = head[PRIORITY], mark = head[MARK] }
  if not mustWait(mine, queueOf(line)) then ready(id, head) end
  redis.call('HSET', root .. 'q:' .. line, id, head[SEQ] .. ' ' .. head[PRIORITY] .. ' ' .. head[MARK])
end

local function codeHolders(code)
  local kept = redis.call('HGET', root .. 'codes', code)
  return kept and cjson.decode(kept) or {}
end
for i, alert in ipairs(alerts) do
  local had = before[i]
  if had and had[2] ~= alert[2] then
    local others = {}
    for _, id in ipairs(codeHolders(had[2])) do if id ~= alert[1] then others[#others + 1] = id end end
    if #others == 0 then redis.call('HDEL', root .. 'codes', had[2])
    else redis.call('HSET', root .. 'codes', had[2], cjson.encode(others)) end
  end
  if not had or had[2] ~= alert[2] then
    local holders = codeHolders(alert[2])
    holders[#holders + 1] = alert[1]
    redis.call('HSET', root .. 'codes', alert[2], cjson.encode(holders))
  end
  redis.call('HSET', root .. 'alerts', alert[1], cjson.encode({ line, alert[2], alert[3], alert[4], alert[5] }))
  if alert[5] then
    local tier = string.byte(alert[3]) - 65
    redis.call('ZADD', root .. 'urgent', string.format('%.0f', tier * 4398046511104 + alert[4]), alert[1])
  else
    redis.call('ZREM', root .. 'urgent', alert[1])
  end
end
return { 'committed', version, elements, folded, unpack(givenUp) }
`,
);
