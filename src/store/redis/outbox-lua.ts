import { script } from './connection.ts';
import { messageLua } from './message-lua.ts';

/**
 * Gives up what is too late, puts back what a lost taker held, and shows what could be taken.
 *
 * KEYS[1]  root of a shard
 * ARGV     1 now (epoch ms); 2 how many; 3 how long to keep what is given up (ms)
 * Returns  message id and score in turn, in the order of taking
 */
export const peekScript = script(
  'peek-outbox',
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
    finish(id, head, sealed, ARGV[3])
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
export const takeScript = script(
  'take-outbox',
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
 *          6 new notBefore (epoch ms), for 'again'; 7 whether it may have been sent, 0 or 1; 8 how long to keep it (ms)
 * Returns  1 done, 0 the lease was lost
 */
export const settleScript = script(
  'settle-message',
  messageLua,
  `
local id = ARGV[1]
local head, sealed = messageAt(id)
if not head or head[STATE] ~= 'held' or head[TOKEN] ~= ARGV[2] then return 0 end
head[CARRIER], head[WHY] = ARGV[4], ARGV[5]
if ARGV[3] ~= 'again' then
  head[STATE] = ARGV[3]
  finish(id, head, sealed, ARGV[8])
  return 1
end
head[STATE], head[TOKEN], head[NOT_BEFORE] = 'waiting', '', tonumber(ARGV[6])
if ARGV[7] == '1' then head[MAYBE] = 1 end
keep(id, head, sealed)
redis.call('ZREM', root .. 'held', id)
redis.call('ZADD', root .. 'active', ARGV[6], id)
ready(id, head)
return 1
`,
);

/**
 * KEYS[1]  root of a shard
 * ARGV     1 message id
 * Returns  the message as kept, or nil
 */
export const messageScript = script('message', `return redis.call('GET', KEYS[1] .. 'm:' .. ARGV[1])`);
