/**
 * What is kept of a counsellor at the desk: who is signed in, codes that wait to be typed, and the head of the audit log. Lives
 * in the store beside the lines, under an id that no phone number has; it is never a mother's line.
 * Secrets are kept as hashes only.
 */
export interface CounsellorRecord {
  readonly kind: 'counsellor';
  readonly schema: 1;
  readonly codes: readonly WaitingCode[];
  /** Epoch milliseconds at which codes were sent in the last hour. */
  readonly codesSentAt: readonly number[];
  readonly sessions: readonly DeskSession[];
  /** Hash of the last entry of her audit log, which holds the hash of the one before it. */
  readonly auditHead: string;
}

/** A sign-in code on its way. Good for one browser, for one use. */
export interface WaitingCode {
  readonly salt: string;
  readonly hash: string;
  /** Hash of what the browser that asked for it holds. */
  readonly browser: string;
  readonly untilAt: number;
  readonly wrong: number;
}

/** A browser that is signed in. */
export interface DeskSession {
  readonly hash: string;
  readonly startedAt: number;
  readonly seenAt: number;
}

export function newCounsellorRecord(): CounsellorRecord {
  return { kind: 'counsellor', schema: 1, codes: [], codesSentAt: [], sessions: [], auditHead: '' };
}

/** What the keyed hash is taken of, to find a counsellor's record: never a bare number, or a mother's line could be hit. */
export function counsellorRecordName(counsellorId: string): string {
  return `counsellor ${counsellorId}`;
}

/** Whether a kept state is a counsellor's record and no line: for every reader that walks over lines. */
export function isCounsellorRecord(state: string): boolean {
  return state.startsWith('{"kind":"counsellor"');
}
