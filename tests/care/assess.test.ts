import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assess, type AssessCase, assessAdviceCodes, assessReasonCodes } from '../../src/care/assess.ts';
import { adviceText, reasonText } from '../../src/care/reason-text.ts';
import { babySignCodes, motherSignCodes, type Sign, type Tier } from '../../src/care/signs.ts';
import { urgency } from '../../src/care/tier.ts';

const well = {
  feeds24h: 10,
  wetNappies24h: 7,
  stools24h: 4,
  longestGapHours: 3,
  pain: 'none',
  softAfterFeed: 'yes',
} as const;

type Case = readonly [title: string, told: AssessCase, tier: Tier];

/** How the rules meet. Source: common practice; loss with a danger sign and with another concern: NICE NG75, ABM Protocol 3. */
const cases: readonly Case[] = [
  [
    'loss of 7 % and 7 feeds at day 20',
    { ...well, ageDays: 20, feeds24h: 7, birthWeightGrams: 3200, weights: [{ day: 20, g: 2976 }] },
    'B',
  ],
  [
    'not regained and pain at day 16',
    { ...well, ageDays: 16, pain: 'mild', birthWeightGrams: 3200, weights: [{ day: 16, g: 3190 }] },
    'B',
  ],
  ['few stools and a long gap at day 20', { ...well, ageDays: 20, stools24h: 2, longestGapHours: 5 }, 'B'],
  ['long gap and pain at day 20', { ...well, ageDays: 20, longestGapHours: 5, pain: 'mild' }, 'C'],
  [
    'loss of 10 % with a danger sign of the baby',
    {
      ...well,
      ageDays: 5,
      birthWeightGrams: 3200,
      weights: [{ day: 5, g: 2880 }],
      signs: [{ code: 'jaundice', who: 'baby' }],
    },
    'A',
  ],
  [
    'loss of 10 % with a sign of the mother',
    {
      ...well,
      ageDays: 5,
      birthWeightGrams: 3200,
      weights: [{ day: 5, g: 2880 }],
      signs: [{ code: 'wound', who: 'mother' }],
    },
    'B',
  ],
  [
    'yellow and feeding 5 times',
    { ...well, ageDays: 5, feeds24h: 5, signs: [{ code: 'jaundice', who: 'baby' }] },
    'A',
  ],
  ['7 feeds, born 2400 g', { ...well, ageDays: 10, feeds24h: 7, birthWeightGrams: 2400 }, 'B'],
  [
    'few stools and not regained, born 2400 g',
    { ...well, ageDays: 22, stools24h: 2, birthWeightGrams: 2400, weights: [{ day: 22, g: 2390 }] },
    'A',
  ],
  [
    'few stools and regained, born 2400 g: low for age, but not losing',
    { ...well, ageDays: 22, stools24h: 2, birthWeightGrams: 2400, weights: [{ day: 22, g: 2500 }] },
    'B',
  ],
  [
    'few stools and pale ones, born 2400 g',
    {
      ...well,
      ageDays: 22,
      stools24h: 2,
      birthWeightGrams: 2400,
      signs: [{ code: 'pale-stools', who: 'baby' }],
    },
    'A',
  ],
  ['all well, born 1900 g', { ...well, ageDays: 10, birthWeightGrams: 1900 }, 'none'],
  [
    'a weight and nothing asked',
    { ageDays: 5, birthWeightGrams: 3200, weights: [{ day: 5, g: 3100 }] },
    'none',
  ],
  [
    'a weight, but asked and not known',
    {
      ageDays: 5,
      birthWeightGrams: 3200,
      weights: [{ day: 5, g: 3100 }],
      feeds24h: null,
      wetNappies24h: null,
    },
    'C',
  ],
  [
    'a weight and pain told, but neither feeds nor nappies',
    { ageDays: 5, birthWeightGrams: 3200, weights: [{ day: 5, g: 3100 }], pain: 'none' },
    'C',
  ],
  [
    'an old weight and nothing asked',
    { ageDays: 12, birthWeightGrams: 3200, weights: [{ day: 5, g: 3100 }] },
    'C',
  ],
  ['the weight of the day of birth and nothing asked', { ageDays: 2, weights: [{ day: 0, g: 3200 }] }, 'C'],
  ['nothing known at day 5', { ageDays: 5 }, 'C'],
  ['nothing known at day 60', { ageDays: 60 }, 'none'],
  ['mood score 3', { ...well, ageDays: 42, mood: { littleInterest: 1, feelingDown: 2 } }, 'B'],
  ['two check-ins missed at 10 days', { ...well, ageDays: 10, missedInARow: 2 }, 'C'],
];

describe('one tier from all rules', () => {
  for (const [title, told, tier] of cases) {
    it(title, () => {
      expect(assess(told).tier).toBe(tier);
    });
  }

  it('explains a tier that only the concerns together reach', () => {
    const { reasons } = assess({ ...well, ageDays: 20, stools24h: 2, longestGapHours: 5 });
    expect(reasons.map((reason) => reason.code)).toEqual(['concerns-together', 'gap-long', 'stools-few']);
  });

  it('tells of harm with its own advice', () => {
    expect(assess({ ...well, ageDays: 30, signs: [{ code: 'self-harm', who: 'mother' }] }).advice).toBe(
      'stay-with-someone',
    );
  });
});

const told = fc.option(fc.integer({ min: 0, max: 14 }), { nil: undefined });
const sign: fc.Arbitrary<Sign> = fc.oneof(
  fc.constantFrom(...babySignCodes).map((code): Sign => ({ code, who: 'baby' })),
  fc.constantFrom(...motherSignCodes).map((code): Sign => ({ code, who: 'mother' })),
);
const someCase: fc.Arbitrary<AssessCase> = fc.record({
  ageDays: fc.integer({ min: 0, max: 731 }),
  sex: fc.constantFrom('boy' as const, 'girl' as const, null),
  birthWeightGrams: fc.option(fc.integer({ min: 1200, max: 4800 }), { nil: undefined }),
  gestationWeeks: fc.option(fc.integer({ min: 28, max: 42 }), { nil: undefined }),
  weights: fc.array(fc.record({ day: fc.nat(731), g: fc.integer({ min: 1, max: 20_000 }) }), {
    maxLength: 5,
  }),
  feeds24h: told,
  wetNappies24h: told,
  stools24h: told,
  longestGapHours: told,
  pain: fc.option(fc.constantFrom('none' as const, 'mild' as const, 'severe' as const), { nil: undefined }),
  softAfterFeed: fc.option(fc.constantFrom('yes' as const, 'no' as const, 'unsure' as const), {
    nil: undefined,
  }),
  signs: fc.array(sign, { maxLength: 3 }),
  missedInARow: fc.nat(5),
});

describe('what holds for any case', () => {
  it('never throws, has a text for every reason and advice, and the graver reasons first', () => {
    fc.assert(
      fc.property(someCase, (known) => {
        const { tier, reasons, advice } = assess(known);
        for (const reason of reasons) {
          expect(assessReasonCodes).toContain(reason.code);
          expect(reasonText(reason)).toMatch(/^[A-Z0-9].*\.$/);
          expect(reasonText(reason)).not.toMatch(/undefined|NaN/);
        }
        expect(assessAdviceCodes).toContain(advice);
        expect(adviceText(advice)).toMatch(/\.$/);
        const order = reasons.map((reason) => urgency(reason.tier));
        expect(order).toEqual([...order].sort((a, b) => b - a));
        expect(tier).toBe(reasons[0]?.tier ?? 'none');
      }),
      { numRuns: 2000 },
    );
  });

  it('never answers a danger sign with none, and one more sign never calms', () => {
    fc.assert(
      fc.property(someCase, sign, (known, more) => {
        const before = assess(known).tier;
        const after = assess({ ...known, signs: [...(known.signs ?? []), more] }).tier;
        expect(after).not.toBe('none');
        expect(urgency(after)).toBeGreaterThanOrEqual(urgency(before));
      }),
      { numRuns: 1000 },
    );
  });

  it('never gets more urgent with more feeds', () => {
    fc.assert(
      fc.property(someCase, fc.nat(14), fc.nat(14), (known, a, b) => {
        const fewer = assess({ ...known, feeds24h: Math.min(a, b) }).tier;
        const more = assess({ ...known, feeds24h: Math.max(a, b) }).tier;
        expect(urgency(more)).toBeLessThanOrEqual(urgency(fewer));
      }),
      { numRuns: 1000 },
    );
  });

  it('is never calmed by an answer that becomes unknown where the answer was good', () => {
    const fields = ['feeds24h', 'wetNappies24h', 'stools24h'] as const;
    fc.assert(
      fc.property(someCase, fc.constantFrom(...fields), (known, field) => {
        const good = assess({ ...known, [field]: 12 }).tier;
        const unknown = assess({ ...known, [field]: null }).tier;
        expect(urgency(unknown)).toBeGreaterThanOrEqual(urgency(good));
      }),
      { numRuns: 1000 },
    );
  });
});
