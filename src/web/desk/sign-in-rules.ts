import type { CounsellorRecord, WaitingCode } from '../../counsel/counsellor-record.ts';
import type { Counsellor } from '../../dialog/world.ts';
import { isSame } from './secrets.ts';

const minuteMs = 60_000;
/** A code is good for 10 minutes. Source: OWASP ASVS 5.0, V6.6: out-of-band codes at most 10 minutes (from memory). */
export const codeMinutes = 10;
/** So many codes an hour: enough for a bad network, too few to be a nuisance. Common practice, no source. */
const codesAnHour = 5;
/** Wrong tries until a code is void: 25 guesses an hour at a million codes. Common practice, no source. */
const mostWrong = 5;
const idleMs = 30 * minuteMs;
const absoluteMs = 12 * 60 * minuteMs;
const mostSessions = 6;

/** The record with one more code to wait for, or undefined when too many were sent in the last hour. */
export function withCode(
  record: CounsellorRecord,
  code: Pick<WaitingCode, 'salt' | 'hash' | 'browser'>,
  now: number,
): CounsellorRecord | undefined {
  const sent = record.codesSentAt.filter((at) => at > now - 60 * minuteMs);
  if (sent.length >= codesAnHour) return undefined;
  const waiting = codesNow(record, now).filter((c) => c.browser !== code.browser);
  return {
    ...record,
    codes: [...waiting, { ...code, untilAt: now + codeMinutes * minuteMs, wrong: 0 }],
    codesSentAt: [...sent, now],
  };
}

/** The code that this browser waits for. One asked for elsewhere is of no use here, even to who reads it over her shoulder. */
export function waitingFor(record: CounsellorRecord, browser: string, now: number): WaitingCode | undefined {
  return codesNow(record, now).find((c) => isSame(c.browser, browser));
}

/** Signed in: the code is used up, this browser has a new session. The oldest sessions end when there are too many. */
export function withSession(record: CounsellorRecord, hash: string, now: number): CounsellorRecord {
  const going = record.sessions.filter((s) => isGoing(s, now)).slice(1 - mostSessions);
  return { ...record, codes: [], sessions: [...going, { hash, startedAt: now, seenAt: now }] };
}

/** A wrong try counts against the code that was meant; after five it is void. */
export function withWrongTry(record: CounsellorRecord, meant: WaitingCode, now: number): CounsellorRecord {
  const codes = codesNow(record, now)
    .map((c) => (c.hash === meant.hash ? { ...c, wrong: c.wrong + 1 } : c))
    .filter((c) => c.wrong < mostWrong);
  return { ...record, codes };
}

/** Whether the session of that hash still goes on: 30 minutes without a page end it, and 12 hours in all. */
export function isSignedIn(record: CounsellorRecord, hash: string, now: number): boolean {
  return record.sessions.some((s) => isSame(s.hash, hash) && isGoing(s, now));
}

/** Used now. Undefined when it was marked within the last minute, so that not every page is a write. */
export function seenNow(record: CounsellorRecord, hash: string, now: number): CounsellorRecord | undefined {
  const session = record.sessions.find((s) => s.hash === hash);
  if (session === undefined || now - session.seenAt < minuteMs) return undefined;
  return { ...record, sessions: record.sessions.map((s) => (s.hash === hash ? { ...s, seenAt: now } : s)) };
}

export function withoutSession(record: CounsellorRecord, hash: string): CounsellorRecord {
  return { ...record, sessions: record.sessions.filter((s) => s.hash !== hash) };
}

/** Whose number was typed: written in full, or as it is dialled at home. Two that fit are nobody. */
export function counsellorOfNumber(
  typed: string,
  counsellors: readonly Counsellor[],
): Counsellor | undefined {
  const digits = typed.normalize('NFKC').replace(/[०-९]/g, (d) => String(d.charCodeAt(0) - 0x0966));
  if (!/^\+?[\d\s().-]{8,24}$/.test(digits.trim())) return undefined;
  const bare = digits.replace(/\D/g, '').replace(/^0+/, '');
  const exact = counsellors.find((c) => c.phone === `+${bare}`);
  if (exact !== undefined || digits.trim().startsWith('+')) return exact;
  const fitting = counsellors.filter((c) => bare.length >= 8 && c.phone.endsWith(bare));
  return fitting.length === 1 ? fitting[0] : undefined;
}

function codesNow(record: CounsellorRecord, now: number): readonly WaitingCode[] {
  return record.codes.filter((c) => c.untilAt > now);
}

function isGoing(session: { readonly startedAt: number; readonly seenAt: number }, now: number): boolean {
  return now - session.seenAt < idleMs && now - session.startedAt < absoluteMs;
}
