/**
 * What the scripts that write alerts share. Alerts come as JSON [[alert id, code, tier, raised at (epoch ms), open], ...]; they
 * are kept as JSON [line, code, tier, raised at, open]; '' for a line that the alert's id names, up to its first dot. A line's list
 * of them has each as what follows its own id, with the dot, or else as = and the whole id. Layout 2 kept them in a set of each line.
 */
export const alertLua = `
-- What is kept of the alerts, the codes not claimed yet, and the codes that are given up.
local function compareAlerts(alerts)
  local before, unclaimed, givenUp = {}, {}, {}
  for i, alert in ipairs(alerts) do
    local kept = redis.call('HGET', root .. 'alerts', alert[1])
    if kept then before[i] = cjson.decode(kept) end
    local had = before[i]
    local goesOn = had and had[5] and alert[5] and had[2] == alert[2]
    if alert[5] and not goesOn then unclaimed[#unclaimed + 1] = alert[2] end
    if had and had[5] and not goesOn then givenUp[#givenUp + 1] = had[2] end
  end
  return before, unclaimed, givenUp
end

-- Whether codes claimed until then (epoch ms, '' for none) can still be used.
local function isTooLate(claimedUntil)
  local time = redis.call('TIME')
  return time[1] * 1000 >= tonumber(claimedUntil)
end

local function codeHolders(code)
  local kept = redis.call('HGET', root .. 'codes', code)
  return kept and cjson.decode(kept) or {}
end

local function isNamed(line, id) return string.match(id, '^([^.]*)%.') == line end

-- The ids of all alerts of a line.
local function alertsOf(line)
  local ids = redis.call('SMEMBERS', root .. 'a:' .. line)
  for _, short in ipairs(cjson.decode(redis.call('HGET', root .. 'raised', line) or '[]')) do
    ids[#ids + 1] = string.sub(short, 1, 1) == '.' and line .. short or string.sub(short, 2)
  end
  return ids
end

local function noteRaised(line, id)
  local shorts = cjson.decode(redis.call('HGET', root .. 'raised', line) or '[]')
  shorts[#shorts + 1] = isNamed(line, id) and string.sub(id, #line + 1) or '=' .. id
  redis.call('HSET', root .. 'raised', line, cjson.encode(shorts))
end

local function isSame(had, line, alert)
  return had and (had[1] == line or had[1] == '' and isNamed(line, alert[1])) and had[2] == alert[2] and had[3] == alert[3] and had[4] == alert[4] and had[5] == alert[5]
end

local function writeAlerts(line, alerts, before)
  for i, alert in ipairs(alerts) do
    local had = before[i]
    if not isSame(had, line, alert) then
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
      local named = isNamed(line, alert[1]) and '' or line
      redis.call('HSET', root .. 'alerts', alert[1], cjson.encode({ named, alert[2], alert[3], alert[4], alert[5] }))
      if not had then noteRaised(line, alert[1]) end
      if alert[5] then
        local tier = string.byte(alert[3]) - 65
        redis.call('ZADD', root .. 'urgent', string.format('%.0f', tier * 4398046511104 + alert[4]), alert[1])
      else
        redis.call('ZREM', root .. 'urgent', alert[1])
      end
    end
  end
end
`;
