import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { askedPortions, portionsFromCounts } from '../../../src/care/diet/asked-portions.ts';
import { dietEstimate, type Portion, portionGrams } from '../../../src/care/diet/estimate.ts';
import type { Measure } from '../../../src/care/diet/foods.ts';
import { food, foods, need } from './content.ts';

const of = (id: string, measure: Measure, count: number): Portion => ({ food: food(id), measure, count });
const day: readonly Portion[] = [
  of('wheat-flour', 'roti', 6),
  of('toor-dal', 'bowl', 2),
  of('rice', 'bowl', 2),
  of('cow-milk', 'glass', 1),
];

describe('the estimate of a day', () => {
  it('holds the sum worked by hand between its ends', () => {
    // Table values per 100 g, IFCT 2017: atta 10.6 g protein, 1.53 fat, 64.2 carbohydrate; arhar dal 21.7, 1.56, 55.2; rice 7.94, 0.52, 78.2;
    // cow milk 3.26, 4.48, 4.94. Eaten: 180 g atta, 50 g dal, 90 g rice, 205 g milk.
    const protein = 1.8 * 10.6 + 0.5 * 21.7 + 0.9 * 7.94 + 2.05 * 3.26;
    const kcal =
      1.8 * (4 * 10.6 + 9 * 1.53 + 4 * 64.2) +
      0.5 * (4 * 21.7 + 9 * 1.56 + 4 * 55.2) +
      0.9 * (4 * 7.94 + 9 * 0.52 + 4 * 78.2) +
      2.05 * (4 * 3.26 + 9 * 4.48 + 4 * 4.94);
    const estimate = dietEstimate(day, need, true);
    expect(estimate.proteinG.likely).toBeCloseTo(protein, 0);
    expect(Math.abs(estimate.energyKcal.likely - kcal)).toBeLessThan(0.01 * kcal);
    expect(estimate.energyKcal.low).toBeLessThan(0.9 * kcal);
    expect(estimate.energyKcal.high).toBeGreaterThan(1.1 * kcal);
  });

  it('calls a meagre day short and a full one enough, and else cannot tell', () => {
    expect(dietEstimate([of('wheat-flour', 'roti', 3)], need, true).energy).toBe('likely-short');
    expect(dietEstimate([of('wheat-flour', 'roti', 3)], need, true).protein).toBe('likely-short');
    const full = [
      of('wheat-flour', 'roti', 20),
      of('toor-dal', 'bowl', 8),
      of('groundnut', 'handful', 5),
      of('cow-milk', 'glass', 5),
    ];
    expect(dietEstimate(full, need, true).energy).toBe('likely-enough');
    expect(dietEstimate(full, need, true).protein).toBe('likely-enough');
    const middling = [...day, of('groundnut', 'handful', 2), of('rice', 'bowl', 4)];
    expect(dietEstimate(middling, need, true).energy).toBe('cannot-tell');
  });

  it('calls nothing short when she was not asked for the whole day', () => {
    const { energy, protein, others } = dietEstimate([of('wheat-flour', 'roti', 1)], need, false);
    expect([energy, protein, ...Object.values(others)]).not.toContain('likely-short');
  });

  it('never counts unknown as zero: what it does not know of a food, it does not call short', () => {
    const withMilk = dietEstimate([of('cow-milk', 'glass', 1)], need, true);
    expect(withMilk.others.vitaminA).toBe('cannot-tell');
    expect(withMilk.unknownIn.vitaminA).toEqual(['cow-milk']);
    expect(dietEstimate([of('ragi-flour', 'roti', 1)], need, true).others.vitaminA).toBe('likely-short');
    expect(dietEstimate([of('rohu', 'piece', 1)], need, true).others.folate).toBe('cannot-tell');
  });

  it('knows a bowl of greens gives vitamin A even after cooking', () => {
    expect(dietEstimate([of('drumstick-leaves', 'bowl', 2)], need, true).others.vitaminA).toBe(
      'likely-enough',
    );
  });

  it('is made from a few counts, those left open left out', () => {
    const portions = portionsFromCounts({ roti: 6, dal: 2, rice: 2, milk: 1, egg: null }, foods);
    expect(portions).toEqual([day[0], day[2], day[1], day[3]]);
    expect(dietEstimate(portions, need, false)).toMatchObject({
      energy: 'cannot-tell',
      protein: 'cannot-tell',
    });
    for (const { ask } of askedPortions) expect(portionsFromCounts({ [ask]: 1 }, foods)).toHaveLength(1);
  });

  it('refuses a measure that a food has no weight for', () => {
    expect(() => portionGrams(of('egg', 'glass', 1))).toThrow(/egg has no weight for a glass/);
    expect(() => portionGrams(of('egg', 'piece', 51))).toThrow(RangeError);
    expect(() => portionGrams(of('egg', 'piece', Number.NaN))).toThrow(RangeError);
  });

  it('keeps low, likely and high in order, and never turns from enough to short when more is eaten', () => {
    const anyPortion = fc.constantFrom(...foods.values()).chain((one) =>
      fc.record({
        food: fc.constant(one),
        measure: fc.constantFrom(...(Object.keys(one.eaten) as Measure[])),
        count: fc.double({ min: 0, max: 10, noNaN: true }),
      }),
    );
    fc.assert(
      fc.property(fc.array(anyPortion, { maxLength: 10 }), anyPortion, (portions, more) => {
        const before = dietEstimate(portions, need, true);
        const after = dietEstimate([...portions, more], need, true);
        for (const { low, likely, high } of [after.energyKcal, after.proteinG]) {
          expect(low).toBeGreaterThanOrEqual(0);
          expect(low).toBeLessThanOrEqual(likely);
          expect(likely).toBeLessThanOrEqual(high);
        }
        expect(after.energyKcal.high).toBeGreaterThanOrEqual(before.energyKcal.high - 1e-9);
        if (before.energy !== 'likely-short') expect(after.energy).not.toBe('likely-short');
      }),
    );
  });
});
