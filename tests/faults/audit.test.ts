import { describe, expect, it } from 'vitest';
import type { LineId } from '../../src/dialog/line.ts';
import type { OutboxRecord } from '../../src/store/store.ts';
import { audit, auditAlerts, type Found } from './audit.ts';

const phone = '+447700900123';
const message = (
  id: string,
  purpose: OutboxRecord['purpose'],
  state: OutboxRecord['state'] = 'sent',
): OutboxRecord => ({
  id,
  lineId: 'line' as LineId,
  channel: 'text',
  to: phone,
  body: '',
  language: 'en',
  purpose,
  priority: 1,
  notBefore: 0,
  sendBefore: null,
  receiver: 'line',
  state,
  attempts: 1,
  carrierId: null,
  why: null,
});
const text = (body: string) => ({ kind: 'text-in', body: { body } });
const said = (words: string) => ({ kind: 'said', body: { words } });
const sending = (id: string) => ({ kind: 'sending', body: { id } });

const journal = [
  text('a'),
  said('A'),
  text('b'),
  said('B'),
  sending('m1'),
  text('c'),
  said('C'),
  sending('m2'),
];
const well: Found = {
  answered: new Map([
    [
      phone,
      [
        { text: 'a', reply: 'A' },
        { text: 'b', reply: 'B' },
        { text: 'c', reply: 'C' },
      ],
    ],
  ]),
  journals: new Map([[phone, journal]]),
  carried: ['m1', 'm2', 'm1'],
  messages: new Map([
    ['m1', message('m1', 'alert')],
    ['m2', message('m2', 'check-in')],
  ]),
  now: 10,
};
const withJournal = (changed: typeof journal): Found => ({ ...well, journals: new Map([[phone, changed]]) });

describe('the audit that the killing test leans on', () => {
  it('finds nothing where nothing is wrong, an alert sent twice included', () => {
    expect(audit(well)).toEqual([]);
  });

  it('finds an answer that was dropped from the journal', () => {
    expect(audit(withJournal(journal.filter((_, i) => i !== 2 && i !== 3)))).not.toEqual([]);
  });

  it('finds an answer that stands in the journal twice', () => {
    expect(audit(withJournal([...journal.slice(0, 2), ...journal]))).not.toEqual([]);
  });

  it('finds one dropped and another doubled, where the count is right', () => {
    expect(audit(withJournal([text('a'), said('A'), text('a'), said('A'), ...journal.slice(4)]))).not.toEqual(
      [],
    );
  });

  it('finds a reply kept other than it was given', () => {
    expect(audit(withJournal(journal.map((e, i) => (i === 3 ? said('X') : e))))).not.toEqual([]);
  });

  it('finds a message lost, unsent, doubled or made up', () => {
    const messages = (id: string, as: OutboxRecord | undefined) =>
      new Map([...well.messages, [id, as] as const]);
    expect(audit({ ...well, messages: messages('m1', undefined) })).not.toEqual([]);
    expect(audit({ ...well, messages: messages('m2', message('m2', 'check-in', 'waiting')) })).not.toEqual(
      [],
    );
    expect(audit({ ...well, carried: ['m1'] })).not.toEqual([]);
    expect(audit({ ...well, carried: ['m1', 'm2', 'm2'] })).not.toEqual([]);
    expect(audit({ ...well, carried: ['m1', 'm2', 'm3'] })).not.toEqual([]);
  });

  it('finds two messages to one receiver that went out in the wrong order', () => {
    const ids = ['line.4.0', 'line.4.1', 'line.12.0!a!'];
    const found = (carried: readonly string[]): Found => ({
      ...well,
      journals: new Map([[phone, [...journal, ...ids.map(sending)]]]),
      carried: ['m1', 'm2', ...carried],
      messages: new Map([...well.messages, ...ids.map((id) => [id, message(id, 'alert')] as const)]),
    });
    expect(audit(found(ids))).toEqual([]);
    // Sent again after a time-out, it came second only the second time.
    expect(audit(found([...ids, 'line.4.0']))).toEqual([]);
    expect(audit(found(['line.4.1', 'line.4.0', 'line.12.0!a!']))).not.toEqual([]);
    expect(audit(found(['line.12.0!a!', 'line.4.0', 'line.4.1']))).not.toEqual([]);
  });

  it('finds a danger of which no alert was raised, two were, or nobody was told', () => {
    const raised = { kind: 'alert-raised', body: { code: '1234' } };
    const told = { kind: 'sending', body: { id: 'm1', purpose: 'alert' } };
    const found = (...more: readonly { kind: string; body: unknown }[]): Found => ({
      ...well,
      journals: new Map([[phone, more]]),
    });
    expect(auditAlerts(found(raised, told), [phone])).toEqual([]);
    expect(auditAlerts(found(told), [phone])).not.toEqual([]);
    expect(auditAlerts(found(raised, raised, told), [phone])).not.toEqual([]);
    expect(auditAlerts(found(raised), [phone])).not.toEqual([]);
    expect(auditAlerts({ ...found(raised, told), carried: [] }, [phone])).not.toEqual([]);
  });
});
