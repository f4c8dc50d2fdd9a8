/**
 * What the scripts on lines share. A line is one list. Its elements, by their first byte (numbers big-endian):
 *
 *     0  the head, always first: version (4), journal entries (4), place among the line ids (6), how many recent inbound ids
 *        (2), each as hash (6) and minute since 1970 (4); then the sealed state, or nothing where the last pack has it
 *     1  a turn: place in the journal of its first entry (4), how many (4), inbound hash (6), when it was kept (6, epoch ms; 0
 *        when there was no inbound id); then the sealed record
 *     4  a pack of turns: place of its first entry (4), how many (4), how many messages (2), the mark of each and a dot (13);
 *        then the sealed record; 2 is the same as layout 2 wrote it, without a state
 *     3  a settled message: its mark (12), when it was settled (6, epoch ms), length of its id (2), its id, JSON head, a zero
 *        byte, sealed fields
 *
 * Packs come first, in order; turns and messages follow as they came. A message's mark is the first half of the SHA-1 of its id,
 * in hex.
 */
export const lineLua = `
local root = KEYS[1]
local HEAD = 17

local function listOf(line) return root .. 'l:' .. line end

-- The head element, version, journal entries, place, how many recent inbound ids; nothing for a line not kept.
local function headOf(line)
  local head = redis.call('LINDEX', listOf(line), 0)
  if not head then return nil, 0, 0, 0, 0 end
  local _, version, entries, place, count = struct.unpack('>BI4I4I6I2', head)
  return head, version, entries, place, count
end

-- The last pack, nothing when there is none.
local function lastPack(line)
  local elements = redis.call('LRANGE', listOf(line), 1, -1)
  for i = #elements, 1, -1 do
    if string.byte(elements[i]) == 4 then return elements[i] end
  end
  return nil
end

local function newHead(version, entries, place, recent, state)
  return struct.pack('>BI4I4I6I2', 0, version, entries, place, #recent / 10) .. recent .. state
end

-- A new line's place among the line ids of its shard.
local function newPlace(line)
  local place = redis.call('XLEN', root .. 'ids') + 1
  redis.call('XADD', root .. 'ids', place .. '-1', 'l', line)
  return place
end

-- Something written where something is only told again: replicas are waited for as far as this connection wrote.
local function noteTold() redis.call('SET', root .. 'told', 1) end

local function markOf(id) return string.sub(redis.sha1hex(id), 1, 12) end

-- Whether the id begins with the line's: then the message is looked for in that line.
local function isOf(line, id) return string.sub(id, 1, #line + 1) == line .. '.' end

local function isSettled(line, mark)
  for _, element in ipairs(redis.call('LRANGE', listOf(line), 1, -1)) do
    local kind = string.byte(element)
    if kind == 3 and string.sub(element, 2, 13) == mark then return element end
    if kind == 2 or kind == 4 then
      local _, _, _, count = struct.unpack('>BI4I4I2', element)
      if string.find(string.sub(element, 12, 11 + 13 * count), mark .. '.', 1, true) then return element end
    end
  end
  return nil
end

local function isKept(line, id)
  if redis.call('EXISTS', root .. 'm:' .. id) == 1 then return true end
  if isOf(line, id) then return isSettled(line, markOf(id)) ~= nil end
  return redis.call('EXISTS', root .. 'p:' .. id) == 1
end
`;
