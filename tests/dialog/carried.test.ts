import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Carried, hasArrived, hear, isLost } from '../../src/dialog/carried.ts';
import {
  columnOf,
  count,
  type DeliveryTally,
  rowName,
  rowOf,
  sumOf,
} from '../../src/dialog/delivery-tally.ts';
import { deliveredRows } from '../../src/programme/delivered.ts';

/** The carrier's states of a message. Source: the SDK's own list of message states. */
const states = [
  'accepted',
  'scheduled',
  'canceled',
  'queued',
  'sending',
  'sent',
  'failed',
  'delivered',
  'undelivered',
  'read',
];
const hearAll = (statuses: readonly string[]): string | undefined => {
  let carried: readonly Carried[] = [];
  for (const status of statuses) carried = hear(carried, '7.0', status).carried;
  return carried[0]?.status;
};

describe('receipts', () => {
  it('leave the same behind in whatever order and however often they come, once one of them says delivered', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...states), { maxLength: 12 }), (statuses) => {
        const end = hearAll([...statuses, 'delivered']);
        expect(hasArrived(end ?? '')).toBe(true);
        expect(hasArrived(hearAll(['delivered', ...statuses]) ?? '')).toBe(true);
      }),
    );
  });

  it('never go back: an end stays an end', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...states), { minLength: 1 }),
        fc.constantFrom(...states),
        (all, late) => {
          const before = hearAll(all) ?? '';
          const after = hearAll([...all, late]) ?? '';
          if (hasArrived(before)) expect(after).toBe(before);
          else if (isLost(before)) expect(after === before || hasArrived(after)).toBe(true);
        },
      ),
    );
  });

  it('are news once', () => {
    const first = hear([], '7.0', 'sent');
    expect(first.isNews).toBe(true);
    expect(hear(first.carried, '7.0', 'sent').isNews).toBe(false);
    expect(hear(first.carried, '7.0', 'queued').isNews).toBe(false);
    expect(hear(first.carried, '7.0', 'a state of next year').isNews).toBe(false);
    expect(hear(first.carried, '7.0', 'undelivered').isNews).toBe(true);
  });

  it('of a message that is long forgotten are no news', () => {
    const many = Array.from({ length: 12 }, (_, i) => ({ id: `${20 + i}.0`, status: 'delivered' }));
    expect(hear(many, '9.0', 'undelivered').isNews).toBe(false);
    expect(hear(many, '40.0', 'sent').carried).toHaveLength(12);
  });
});

describe('the tally of deliveries', () => {
  const row = rowName({ month: '2026-11', to: 'mother', language: 'hi', hour: 8 });

  it('names its rows so that they can be read back', () => {
    expect(rowOf(row)).toEqual({ month: '2026-11', to: 'mother', language: 'hi', hour: 8 });
    expect(
      rowOf(rowName({ month: '2026-11', to: 'counsellor', language: 'hi-Latn', hour: 20 })),
    ).toMatchObject({
      to: 'counsellor',
      language: 'hi-Latn',
      hour: 20,
    });
  });

  it('counts each message once by where it ended, however its receipts came', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...states), { maxLength: 10 }), (statuses) => {
        let carried: readonly Carried[] = [{ id: '7.0', status: 'accepted', row }];
        let tally: DeliveryTally = count({}, row, { written: 1 });
        for (const status of statuses) {
          const heard = hear(carried, '7.0', status);
          if (!heard.isNews) continue;
          carried = heard.carried;
          const from = columnOf(heard.before?.status ?? '');
          const to = columnOf(status);
          if (from === to) continue;
          if (from !== undefined) tally = count(tally, row, { [from]: -1 });
          if (to !== undefined) tally = count(tally, row, { [to]: 1 });
        }
        const end = carried[0]?.status ?? '';
        expect(tally[row]).toEqual({
          written: 1,
          delivered: hasArrived(end) ? 1 : 0,
          lost: isLost(end) ? 1 : 0,
          notSent: 0,
        });
      }),
    );
  });

  it('keeps two months and no more', () => {
    const months = ['2026-09', '2026-10', '2026-11'];
    const tally = months.reduce<DeliveryTally>(
      (t, month) => count(t, rowName({ month, to: 'mother', language: 'en', hour: 9 }), { written: 1 }),
      {},
    );
    expect(Object.keys(tally).map((r) => r.slice(0, 7))).toEqual(['2026-10', '2026-11']);
  });

  it('is summed over lines and told by language and hour', () => {
    const one = { [row]: { written: 10, delivered: 7, lost: 1, notSent: 1 } };
    const evening = rowName({ month: '2026-11', to: 'mother', language: 'hi', hour: 19 });
    const other = {
      [row]: { written: 2, delivered: 1, lost: 0, notSent: 0 },
      [evening]: { written: 4, delivered: 4, lost: 0, notSent: 0 },
    };
    const rows = deliveredRows(sumOf([one, other]));
    expect(rows).toMatchObject([
      { hour: 8, written: 12, delivered: 8, withoutWord: 2, share: 8 / 11 },
      { hour: 19, share: 1 },
      { hour: null, written: 16, delivered: 12, lost: 1, notSent: 1, withoutWord: 2, share: 12 / 15 },
    ]);
    expect(deliveredRows(sumOf([one, other]), '2026-10')).toEqual([]);
  });
});
