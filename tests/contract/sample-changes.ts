import { randomBytes } from 'node:crypto';
import type { LineId } from '../../src/dialog/line.ts';
import { lineIdOf, openSealer } from '../../src/store/sealing.ts';
import type { AlertEntry, LineCommit, OutboxMessage } from '../../src/store/store.ts';

/** Invented lines and changes. Numbers are from the range kept for fiction (Ofcom, 07700 900000-900999). */
export const phoneOf = (n: number): string => `+447700900${String(n).padStart(3, '0')}`;
export const line = (n: number): LineId => lineIdOf(phoneOf(n), 'a pepper for tests only');
export const t0 = Date.UTC(2026, 2, 1, 8);

export const newKey = (id: string) => ({ id, key: randomBytes(32) });
export const newSealer = () => openSealer([newKey('k1')]);

export function change(lineId: LineId, expectedVersion: number, rest: Partial<LineCommit> = {}): LineCommit {
  return {
    lineId,
    expectedVersion,
    reply: 'Thank you.',
    state: `{"turns":${expectedVersion + 1}}`,
    nextDueAt: null,
    journal: [],
    outbox: [],
    alerts: [],
    ...rest,
  };
}

export function message(lineId: LineId, id: string, rest: Partial<OutboxMessage> = {}): OutboxMessage {
  return {
    id,
    lineId,
    channel: 'text',
    to: phoneOf(1),
    body: `Words of ${id}`,
    language: 'en',
    purpose: 'check-in',
    priority: 4,
    notBefore: t0,
    sendBefore: null,
    receiver: phoneOf(1),
    ...rest,
  };
}

export function alert(
  lineId: LineId,
  alertId: string,
  code: string,
  rest: Partial<AlertEntry> = {},
): AlertEntry {
  return { alertId, lineId, code, tier: 'A', raisedAt: t0, open: true, ...rest };
}
