/**
 * What the scripts on messages share; it follows `lineLua`. A message under way is a JSON head, a zero byte, and its sealed
 * fields. The head is [line, channel, language, purpose, priority, sendBefore or -1, mark, seq, notBefore, state, attempts, may
 * have been sent (0 or 1), lease token, carrier id, why (base64)], the last three "" for none.
 *
 * The score in `ready` is priority * 2^42 + notBefore: whole numbers below 2^53 are exact in a score, and 2^42 ms is the
 * year 2109. Only messages that need not wait for an earlier one are in `ready`.
 */
export const messageLua = `
local LINE, PRIORITY, SEND_BEFORE, MARK, SEQ, NOT_BEFORE, STATE, ATTEMPTS, MAYBE, TOKEN, CARRIER, WHY =
  1, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15

local function messageAt(id)
  local kept = redis.call('GET', root .. 'm:' .. id)
  if not kept then return nil end
  local cut = string.find(kept, '\\0', 1, true)
  return cjson.decode(string.sub(kept, 1, cut - 1)), string.sub(kept, cut)
end

local function keep(id, head, sealed)
  redis.call('SET', root .. 'm:' .. id, cjson.encode(head) .. sealed)
end

local function ready(id, head)
  redis.call('ZADD', root .. 'ready', string.format('%.0f', head[PRIORITY] * 4398046511104 + head[NOT_BEFORE]), id)
end

-- Whether a message must wait for one written before it. Marks of two keys count as the same receiver.
local function mustWait(mine, all)
  for _, other in ipairs(all) do
    if other.seq < mine.seq and other.priority <= mine.priority then
      if other.mark == mine.mark then return true end
      if string.match(other.mark, '^[^.]*') ~= string.match(mine.mark, '^[^.]*') then return true end
    end
  end
  return false
end

local function queueOf(line)
  local flat = redis.call('HGETALL', root .. 'q:' .. line)
  local all = {}
  for i = 1, #flat, 2 do
    local seq, priority, mark = string.match(flat[i + 1], '^(%d+) (%d+) (.*)$')
    all[#all + 1] = { id = flat[i], seq = tonumber(seq), priority = tonumber(priority), mark = mark }
  end
  return all
end

-- Puts a new message where it waits, or where it is held until leaseUntil (epoch ms, 0 for not held).
local function post(line, id, head, sealed, leaseUntil)
  head[SEQ] = redis.call('INCR', root .. 'seq')
  keep(id, head, sealed)
  redis.call('ZADD', root .. 'active', head[NOT_BEFORE], id)
  if head[SEND_BEFORE] >= 0 then redis.call('ZADD', root .. 'late', head[SEND_BEFORE], id) end
  local mine = { seq = head[SEQ], priority = head[PRIORITY], mark = head[MARK] }
  if head[STATE] == 'held' then redis.call('ZADD', root .. 'held', leaseUntil, id)
  elseif not mustWait(mine, queueOf(line)) then ready(id, head) end
  redis.call('HSET', root .. 'q:' .. line, id, head[SEQ] .. ' ' .. head[PRIORITY] .. ' ' .. head[MARK])
end

-- Takes a message out of everything under way and puts it with its line; those that waited for it alone become ready. at is
-- epoch ms, ttl ms: how long an id that does not begin with its line's finds it.
local function finish(id, head, sealed, at, ttl)
  local line = head[LINE]
  head[TOKEN] = ''
  redis.call('DEL', root .. 'm:' .. id)
  local settled = struct.pack('>B', 3) .. markOf(id) .. struct.pack('>I6I2', at, #id) .. id .. cjson.encode(head) .. sealed
  redis.call('RPUSH', listOf(line), settled)
  if not isOf(line, id) then redis.call('SET', root .. 'p:' .. id, line, 'PX', ttl) end
  for _, name in ipairs({ 'ready', 'held', 'late', 'active' }) do redis.call('ZREM', root .. name, id) end
  redis.call('HDEL', root .. 'q:' .. line, id)
  local all = queueOf(line)
  for _, one in ipairs(all) do
    if not redis.call('ZSCORE', root .. 'ready', one.id) and not redis.call('ZSCORE', root .. 'held', one.id)
      and not mustWait(one, all) then
      ready(one.id, (messageAt(one.id)))
    end
  end
end
`;
