import { script, toldScript } from './connection.ts';
import { lineLua } from './line-lua.ts';
import { messageLua } from './message-lua.ts';

/**
 * Gives up what is too late, puts back what a lost taker held, and shows what could be taken.
 *
 * KEYS[1]  root of a shard
 * ARGV     1 now (epoch ms); 2 how many; 3 how long what is given up is found by its id (ms); 4 the machine's time (epoch ms)
 * Returns  message id and score in turn, in the order of taking
 */
export const peekScript = script(
  'peek-outbox',
  lineLua,
  messageLua,
  `
local now = tonumber(ARGV[1])
for _, id in ipairs(redis.call('ZRANGE', root .. 'held', '-inf', ARGV[1], 'BYSCORE')) do
  redis.call('ZREM', root .. 'held', id)
  ready(id, (messageAt(id)))
end
for _, id in ipairs(redis.call('ZRANGE', root .. 'late', '-inf', '(' .. ARGV[1], 'BYSCORE')) do
  if not redis.call('ZSCORE', root .. 'held', id) then
    local head, sealed = messageAt(id)
    head[STATE] = 'gave-up'
    head[WHY] = ''
    finish(id, head, sealed, ARGV[4], ARGV[3])
    redis.call('ZADD', root .. 'untold', ARGV[4], id)
  end
end
local found, limit = {}, tonumber(ARGV[2])
if redis.call('ZCARD', root .. 'ready') == 0 then return found end
for priority = 0, 9 do
  if #found >= 2 * limit then break end
  local from = string.format('%.0f', priority * 4398046511104)
  local to = string.format('%.0f', priority * 4398046511104 + now)
  local some = redis.call('ZRANGE', root .. 'ready', from, to, 'BYSCORE', 'LIMIT', 0, limit - #found / 2, 'WITHSCORES')
  for _, one in ipairs(some) do found[#found + 1] = one end
end
return found
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 now (epoch ms); 2 end of lease (epoch ms); 3 start of the lease token; then message ids
 * Returns  message id, JSON head as it was before with the new token, sealed fields after a zero byte, in turn
 */
export const takeScript = toldScript(
  'take-outbox',
  lineLua,
  messageLua,
  `
local taken = {}
for i = 4, #ARGV do
  local id = ARGV[i]
  if redis.call('ZSCORE', root .. 'ready', id) then
    local head, sealed = messageAt(id)
    if head[NOT_BEFORE] <= tonumber(ARGV[1]) then
      if head[STATE] == 'held' then head[MAYBE] = 1 end
      head[TOKEN] = ARGV[3] .. '.' .. (head[ATTEMPTS] + 1)
      taken[#taken + 1] = id
      taken[#taken + 1] = cjson.encode(head)
      taken[#taken + 1] = sealed
      head[STATE] = 'held'
      head[ATTEMPTS] = head[ATTEMPTS] + 1
      keep(id, head, sealed)
      redis.call('ZREM', root .. 'ready', id)
      redis.call('ZADD', root .. 'held', ARGV[2], id)
    end
  end
end
return taken
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 message id; 2 lease token; 3 'sent', 'again' or 'gave-up'; 4 carrier id or ''; 5 why, sealed, base64, or '';
 *          6 new notBefore (epoch ms), for 'again'; 7 whether it may have been sent, 0 or 1; 8 how long it is found by its id
 *          (ms); 9 the machine's time (epoch ms); 10 whether its line is to be told of its end, 0 or 1
 * Returns  the line whose message it is, or '' when the lease was lost
 */
export const settleScript = toldScript(
  'settle-message',
  lineLua,
  messageLua,
  `
local id = ARGV[1]
local head, sealed = messageAt(id)
if not head or head[STATE] ~= 'held' or head[TOKEN] ~= ARGV[2] then return '' end
head[CARRIER], head[WHY] = ARGV[4], ARGV[5]
if ARGV[3] ~= 'again' then
  head[STATE] = ARGV[3]
  finish(id, head, sealed, ARGV[9], ARGV[8])
  if ARGV[10] == '1' then redis.call('ZADD', root .. 'untold', ARGV[9], id) end
  return head[LINE]
end
head[STATE], head[TOKEN], head[NOT_BEFORE] = 'waiting', '', tonumber(ARGV[6])
if ARGV[7] == '1' then head[MAYBE] = 1 end
keep(id, head, sealed)
redis.call('ZREM', root .. 'held', id)
redis.call('ZADD', root .. 'active', ARGV[6], id)
ready(id, head)
return head[LINE]
`,
);

/** Puts back what was taken and handed to nobody; the same script, whose answer nobody is told. */
export const giveBackScript = { ...settleScript, isTold: false };

/**
 * KEYS[1]  root of a shard
 * ARGV     1 how many
 * Returns  id and time (epoch ms) in turn of messages of whose end the line was not told, longest ended first
 */
export const untoldScript = script(
  'untold',
  `return redis.call('ZRANGE', KEYS[1] .. 'untold', 0, ARGV[1] - 1, 'WITHSCORES')`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 when it ended (epoch ms), '' when the line has been told; then message ids
 * Returns  how many were there before
 */
export const tellScript = script(
  'tell',
  `
local there = 0
for i = 2, #ARGV do
  if redis.call('ZSCORE', KEYS[1] .. 'untold', ARGV[i]) then there = there + 1 end
  if ARGV[1] == '' then redis.call('ZREM', KEYS[1] .. 'untold', ARGV[i])
  else redis.call('ZADD', KEYS[1] .. 'untold', ARGV[1], ARGV[i]) end
end
return there
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 message id; 2 line id that it may begin with, '' for none
 * Returns  the message as kept, or the line's element in which it is; then the line id when only that told; or nil
 */
export const messageScript = script(
  'message',
  lineLua,
  `
local kept = redis.call('GET', root .. 'm:' .. ARGV[1])
if kept then return { kept } end
if ARGV[2] ~= '' then
  local element = isSettled(ARGV[2], markOf(ARGV[1]))
  if element then return { element, ARGV[2] } end
end
local line = redis.call('GET', root .. 'p:' .. ARGV[1])
local element = line and isSettled(line, markOf(ARGV[1]))
return element and { element, line } or nil
`,
);
