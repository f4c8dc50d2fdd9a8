import { describe, expect, it } from 'vitest';
import type { LineId } from '../../src/dialog/line.ts';
import type { MessagePurpose, OutboxRecord } from '../../src/store/store.ts';
import { taken } from '../outreach/stand-in-store.ts';
import { type OutboxFound, outboxFaults } from './outbox-audit.ts';

const message = (id: string, purpose: MessagePurpose, state: OutboxRecord['state']): OutboxFound => ({
  posted: [{ id, purpose, lineId: 'line' as LineId }],
  taken: state === 'sent' ? [id] : [],
  records: new Map([[id, { ...taken(id, purpose), state, carrierId: null, why: null }]]),
  toldNotSent: new Set(state === 'gave-up' ? [id] : []),
  toldTaken: new Set(purpose === 'alert' ? [id] : []),
  left: 0,
});

describe('the audit of an outbox', () => {
  it('finds nothing where all is well', () => {
    expect(outboxFaults(message('a', 'alert', 'sent'))).toEqual([]);
    expect(outboxFaults({ ...message('a', 'alert', 'sent'), taken: ['a', 'a'] })).toEqual([]);
    expect(outboxFaults(message('t', 'tip', 'gave-up'))).toEqual([]);
  });

  it.each<[string, Partial<OutboxFound>, OutboxFound]>([
    ['an alert that was never sent', { taken: [] }, message('a', 'alert', 'sent')],
    ['a safety text given up', {}, message('s', 'safety', 'gave-up')],
    ['a tip sent twice', { taken: ['t', 't'] }, message('t', 'tip', 'sent')],
    ['a check-in sent twice', { taken: ['c', 'c'] }, message('c', 'check-in', 'sent')],
    ['a message that still waits', {}, message('t', 'tip', 'waiting')],
    ['a message that is gone', { records: new Map() }, message('t', 'tip', 'sent')],
    ['a tip given up untold', { toldNotSent: new Set() }, message('t', 'tip', 'gave-up')],
    ['an alert whose line does not know', { toldTaken: new Set() }, message('a', 'alert', 'sent')],
    ['something left', { left: 1 }, message('t', 'tip', 'sent')],
  ])('finds %s', (_name, wrong, found) => {
    expect(outboxFaults({ ...found, ...wrong })).not.toEqual([]);
  });
});
