import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { whyAbove, whyAboveText, worklist, type WorklistEntry } from '../../src/care/worklist.ts';

const entry = (id: string, other: Partial<WorklistEntry>): WorklistEntry => ({
  id,
  tier: 'C',
  reasons: [],
  dangerTold: false,
  ageDays: 30,
  waitingSinceAt: 1000,
  ...other,
});
const reason = { code: 'feeds-few', tier: 'C', values: {}, source: 'x' } as const;

describe('the list of whom to reach first', () => {
  const list = [
    entry('none', { tier: 'none' }),
    entry('later', { waitingSinceAt: 2000 }),
    entry('plain', {}),
    entry('older', { ageDays: 60 }),
    entry('newborn', { ageDays: 5 }),
    entry('not known', { ageDays: null }),
    entry('two reasons', { reasons: [reason, { ...reason, code: 'gap-long' }] }),
    entry('danger', { dangerTold: true }),
    entry('today', { tier: 'B' }),
    entry('now', { tier: 'A' }),
  ];

  it('orders by tier, danger, age and waiting, and leaves out those of tier none', () => {
    expect(worklist(list).map(({ id }) => id)).toEqual([
      'now',
      'today',
      'danger',
      'not known',
      'newborn',
      'two reasons',
      'plain',
      'older',
      'later',
    ]);
  });

  it('says why one stands above another, asked either way', () => {
    const [a, b] = [entry('newborn', { ageDays: 5 }), entry('plain', {})];
    expect(whyAbove(b, a)).toEqual(whyAbove(a, b));
    expect(whyAbove(a, b)).toMatchObject({
      above: 'newborn',
      below: 'plain',
      rule: 'younger-than-14-days',
      aboveHas: 5,
    });
    expect(whyAboveText(whyAbove(a, entry('now', { tier: 'A' })))).toBe('More urgent: tier A before C.');
  });

  it('explains every neighbour on any list, in the order of the list', () => {
    const some = fc.record({
      id: fc.uuid(),
      tier: fc.constantFrom('A' as const, 'B' as const, 'C' as const, 'none' as const),
      reasons: fc.array(fc.constant(reason), { maxLength: 3 }),
      dangerTold: fc.boolean(),
      ageDays: fc.option(fc.nat(730)),
      waitingSinceAt: fc.nat(5),
    });
    fc.assert(
      fc.property(fc.array(some, { maxLength: 12 }), (entries) => {
        const ordered = worklist(entries);
        ordered.slice(1).forEach((below, index) => {
          const above = ordered[index];
          if (above === undefined) return;
          expect(whyAbove(below, above).above).toBe(above.id);
          expect(whyAboveText(whyAbove(above, below))).toMatch(/\.$/);
        });
      }),
    );
  });
});
