import { alertLua } from './alert-lua.ts';
import { script, toldScript } from './connection.ts';
import { lineLua } from './line-lua.ts';
import { messageLua } from './message-lua.ts';

/**
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id
 * Returns  {elements of the line, due time or '', {id, message as kept, end of its lease or 0, ... of those under way},
 *          {alert id, its JSON, ...}}, or nil
 */
export const readWholeScript = script(
  'read-line',
  lineLua,
  alertLua,
  `
local line = ARGV[1]
local elements = redis.call('LRANGE', listOf(line), 0, -1)
if #elements == 0 then return nil end
local messages, alerts = {}, {}
for _, id in ipairs(redis.call('HKEYS', root .. 'q:' .. line)) do
  messages[#messages + 1] = id
  messages[#messages + 1] = redis.call('GET', root .. 'm:' .. id)
  messages[#messages + 1] = redis.call('ZSCORE', root .. 'held', id) or '0'
end
for _, id in ipairs(alertsOf(line)) do
  alerts[#alerts + 1] = id
  alerts[#alerts + 1] = redis.call('HGET', root .. 'alerts', id)
end
return { elements, redis.call('ZSCORE', root .. 'due', line) or '', messages, alerts }
`,
);

/**
 * Writes a line that is not kept yet, all or nothing.
 *
 * KEYS[1]  root of the line's shard
 * ARGV     1 line id; 2 version; 3 number of journal entries; 4 recent inbound ids as the head has them; 5 '', since the last pack has the state; 6 next
 *          due time (epoch ms), '' for none; 7 until when the codes of open alerts are claimed (epoch ms), '' when none is;
 *          8 alerts as JSON; 9 how long settled messages are found by their ids (ms); 10 how many packs; the packs; then of each
 *          message when it was settled (epoch ms) or '', end of its lease (epoch ms, 0 for none), id, JSON head, sealed fields
 *          (both '' for settled ones, which are in the packs)
 * Returns  {'written'} | {'there'} | {'claim', codes not claimed yet...} | {'late'} claim too old | {'twice', message id}
 */
export const writeWholeScript = toldScript(
  'write-line',
  lineLua,
  messageLua,
  alertLua,
  `
local line = ARGV[1]
if headOf(line) then
  noteTold()
  return { 'there' }
end
local alerts = cjson.decode(ARGV[8])
local before, unclaimed = compareAlerts(alerts)
if #unclaimed > 0 then
  if ARGV[7] == '' then return { 'claim', unpack(unclaimed) } end
  if isTooLate(ARGV[7]) then return { 'late' } end
end
local firstMessage = 11 + tonumber(ARGV[10])
local seen = {}
for i = firstMessage, #ARGV, 5 do
  local id = ARGV[i + 2]
  if seen[id] or isKept(line, id) then return { 'twice', id } end
  seen[id] = true
end

redis.call('RPUSH', listOf(line), newHead(tonumber(ARGV[2]), tonumber(ARGV[3]), newPlace(line), ARGV[4], ARGV[5]))
for i = 11, firstMessage - 1 do redis.call('RPUSH', listOf(line), ARGV[i]) end
if ARGV[6] ~= '' then redis.call('ZADD', root .. 'due', ARGV[6], line) end
for i = firstMessage, #ARGV, 5 do
  local id = ARGV[i + 2]
  if ARGV[i] == '' then post(line, id, cjson.decode(ARGV[i + 3]), '\\0' .. ARGV[i + 4], ARGV[i + 1])
  elseif not isOf(line, id) then redis.call('SET', root .. 'p:' .. id, line, 'PX', ARGV[9]) end
end
writeAlerts(line, alerts, before)
return { 'written' }
`,
);
