import { randomBytes } from 'node:crypto';
import type { LineId } from '../../dialog/line.ts';
import { AlertCodeTaken, StoreUnavailable } from '../../errors.ts';
import type { AlertEntry } from '../store.ts';
import { type Answer, type RedisConnection, script, toldScript } from './connection.ts';

/**
 * Alert codes are unique over all lines, and lines lie in many slots; so a code is claimed in one hash of its own before the
 * commit that raises its alert, and given back if that commit fails or when the alert closes.
 *
 * A process may die in between. A claim therefore counts for `claimMs` by itself: the commit refuses to use an older one.
 * After three times as long a claim counts only if its alert is in fact open with that code, and is cleared away by whoever
 * next wants the code. If the server loses its last second (`everysec`) two alerts may share a code; both stay on the list.
 */
const claimMs = 10_000;

/**
 * KEYS[1]  the hash of claims: code to JSON [alert id, line id, token, claimed at (epoch ms)]
 * ARGV     1 line id; 2 token; 3 JSON list of the line's alerts that give up their code; then code and alert id in turn
 * Returns  {'claimed', now (epoch ms), former claim or '' for each code...} | {'taken', code, claim, its age (ms)}
 */
const claimScript = toldScript(
  'claim',
  `
local time = redis.call('TIME')
local now = time[1] * 1000 + math.floor(time[2] / 1000)
local leaving = {}
for _, id in ipairs(cjson.decode(ARGV[3])) do leaving[id] = true end
local former = {}
for i = 4, #ARGV, 2 do
  local claim = redis.call('HGET', KEYS[1], ARGV[i])
  if claim then
    local alert, line, _, at = unpack(cjson.decode(claim))
    local ours = line == ARGV[1] and (alert == ARGV[i + 1] or leaving[alert])
    if not ours then return { 'taken', ARGV[i], claim, now - at } end
  end
  former[#former + 1] = claim or ''
end
for i = 4, #ARGV, 2 do
  redis.call('HSET', KEYS[1], ARGV[i], cjson.encode({ ARGV[i + 1], ARGV[1], ARGV[2], now }))
end
return { 'claimed', now, unpack(former) }
`,
);

/**
 * Puts back what was there, where the claim is still the one given.
 *
 * KEYS[1]  the hash of claims
 * ARGV     by fours: code; what must match: 'token', 'alert' or 'claim'; the value to match; former claim or '' for none
 * Returns  how many were put back
 */
const releaseScript = script(
  'release',
  `
local count = 0
for i = 1, #ARGV, 4 do
  local claim = redis.call('HGET', KEYS[1], ARGV[i])
  if claim then
    local alert, _, token = unpack(cjson.decode(claim))
    local found = ({ token = token, alert = alert, claim = claim })[ARGV[i + 1]]
    if found == ARGV[i + 2] then
      if ARGV[i + 3] == '' then redis.call('HDEL', KEYS[1], ARGV[i])
      else redis.call('HSET', KEYS[1], ARGV[i], ARGV[i + 3]) end
      count = count + 1
    end
  end
end
return count
`,
);

/**
 * KEYS[1]  the hash of claims
 * ARGV     1 code
 * Returns  the claim, or nil
 */
const holderScript = script('holder', `return redis.call('HGET', KEYS[1], ARGV[1])`);

/** Codes held for one commit. */
export interface Claim {
  /** Epoch milliseconds on the server's clock: the commit must run before. */
  readonly until: number;
  /** Gives the codes back after a commit that did not go through. */
  release(): Promise<void>;
}

/** Who holds a code, as far as the claims tell. */
export interface CodeHolder {
  readonly alertId: string;
  readonly lineId: LineId;
}

/** `isOpen` looks in the line's own shard whether the alert is in fact open with that code. */
export function alertCodes(
  connection: RedisConnection,
  prefix: string,
  isOpen: (holder: CodeHolder, code: string) => Promise<boolean>,
) {
  const root = `${prefix}:{codes}:claims`;

  async function clearIfAbandoned(code: string, claim: Buffer, ageMs: number): Promise<boolean> {
    if (ageMs < 3 * claimMs || (await isOpen(holderIn(claim), code))) return false;
    await connection.run(releaseScript, root, [code, 'claim', claim, '']);
    return true;
  }

  return {
    /** @throws AlertCodeTaken when another open alert, or a commit under way, holds one of the codes */
    async claim(lineId: LineId, codes: readonly string[], alerts: readonly AlertEntry[]): Promise<Claim> {
      const token = randomBytes(9).toString('base64url');
      const wanted = codes.map((code) => {
        const holders = alerts.filter((alert) => alert.open && alert.code === code);
        if (holders.length !== 1 || !holders[0]) throw taken(code);
        return [code, holders[0].alertId] as const;
      });
      const leaving = alerts.flatMap((a) =>
        wanted.some(([, id]) => id === a.alertId) || a.open ? [] : [a.alertId],
      );
      const moving = alerts.flatMap((a) => (a.open && codes.includes(a.code) ? [a.alertId] : []));
      const args = [lineId, token, JSON.stringify([...leaving, ...moving]), ...wanted.flat()];
      for (;;) {
        const [kind, ...rest] = (await connection.run(claimScript, root, args)) as readonly [
          Buffer,
          ...Answer[],
        ];
        if (kind.toString() === 'claimed') {
          const [now, ...former] = rest as [number, ...Buffer[]];
          const back = wanted.flatMap(([code], index) => [code, 'token', token, former[index] ?? '']);
          return {
            until: now + claimMs,
            release: async () => {
              await connection.run(releaseScript, root, back);
            },
          };
        }
        const [code, claim, ageMs] = rest as unknown as readonly [Buffer, Buffer, number];
        if (!(await clearIfAbandoned(code.toString(), claim, ageMs))) throw taken(code.toString());
      }
    },

    /** Gives back the codes of alerts that are closed now or have another one. */
    async giveUp(codes: readonly string[], alerts: readonly AlertEntry[]): Promise<void> {
      const args = codes.flatMap((code) =>
        alerts.filter((a) => !a.open || a.code !== code).flatMap((a) => [code, 'alert', a.alertId, '']),
      );
      if (args.length > 0) await connection.run(releaseScript, root, args);
    },

    async holder(code: string): Promise<CodeHolder | undefined> {
      const claim = await connection.run(holderScript, root, [code]);
      return Buffer.isBuffer(claim) ? holderIn(claim) : undefined;
    },
  };
}

function holderIn(claim: Buffer): CodeHolder {
  const [alertId, lineId] = JSON.parse(claim.toString()) as readonly [string, LineId];
  return { alertId, lineId };
}

function taken(code: string): AlertCodeTaken {
  return new AlertCodeTaken(`Alert code ${code} belongs to another open alert.`);
}

/** Alerts as the scripts take them; see `alertLua`. */
export function alertsArgument(alerts: readonly AlertEntry[]): string {
  return JSON.stringify(alerts.map((a) => [a.alertId, a.code, a.tier, a.raisedAt, a.open]));
}

/** The error for a commit that came to the server after its claim had run out. */
export function claimTooOld(): StoreUnavailable {
  return new StoreUnavailable(
    'The Redis server was too slow to raise the alert safely. Nothing of this change was kept.',
  );
}
