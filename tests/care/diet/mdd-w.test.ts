import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foodGroups } from '../../../src/care/diet/food-groups.ts';
import { diversityFigures, type Eaten, groupEarned, groupsEaten } from '../../../src/care/diet/mdd-w.ts';
import { food, foods } from './content.ts';

/**
 * Source: FAO, Minimum dietary diversity for women: an updated guide for measurement (2021); FAO and FHI 360, A guide for measurement (2016). Cases
 * marked M are from memory of the guide.
 */
const ate = (id: string, grams: number | null, form?: Eaten['form']): Eaten =>
  form === undefined ? { food: food(id), grams } : { food: food(id), grams, form };

describe('the ten food groups', () => {
  it.each([
    ['rice', 'grains'],
    ['wheat-flour', 'grains'],
    ['ragi-flour', 'grains'],
    ['poha', 'grains'],
    ['potato', 'grains'],
    ['tapioca', 'grains'],
    ['raw-banana', 'grains'],
    ['sweet-potato', 'grains'],
    ['toor-dal', 'pulses'],
    ['rajma', 'pulses'],
    ['besan', 'pulses'],
    ['soya-chunks', 'pulses'],
    ['groundnut', 'nuts'],
    ['almond', 'nuts'],
    ['til', 'nuts'],
    ['cow-milk', 'dairy'],
    ['curd', 'dairy'],
    ['paneer', 'dairy'],
    ['chicken', 'flesh'],
    ['goat-liver', 'flesh'],
    ['rohu', 'flesh'],
    ['prawns', 'flesh'],
    ['egg', 'eggs'],
    ['duck-egg', 'eggs'],
    ['spinach', 'greens'],
    ['amaranth', 'greens'],
    ['drumstick-leaves', 'greens'],
    ['mango', 'orange'],
    ['papaya', 'orange'],
    ['carrot', 'orange'],
    ['pumpkin', 'orange'],
    ['orange-sweet-potato', 'orange'],
    ['tomato', 'vegetables'],
    ['capsicum', 'vegetables'],
    ['brinjal', 'vegetables'],
    ['banana', 'fruits'],
    ['guava', 'fruits'],
    ['orange', 'fruits'],
  ] as const)('count %s as %s', (id, group) => {
    expect(groupEarned(ate(id, 50))).toBe(group);
    expect(groupEarned(ate(id, null))).toBe(group);
  });

  it('count peas and beans eaten fresh as vegetables, dried as pulses (M)', () => {
    expect(groupEarned(ate('green-peas', 50))).toBe('vegetables');
    expect(groupEarned(ate('french-beans', 50))).toBe('vegetables');
    expect(groupEarned(ate('dry-peas', 50))).toBe('pulses');
  });

  it('do not count fats, sugar or spices, however much (M)', () => {
    for (const id of [
      'ghee',
      'oil',
      'mustard-oil',
      'sugar',
      'jaggery',
      'turmeric',
      'cumin',
      'salt',
      'ginger',
      'garlic',
      'green-chilli',
    ]) {
      expect(groupEarned(ate(id, 60)), id).toBeNull();
    }
  });

  it('do not count coconut as a nut (M)', () => {
    expect(groupEarned(ate('coconut', 50))).not.toBe('nuts');
  });

  it('need 15 g: 14 g earns nothing, 15 g does (M)', () => {
    expect(groupEarned(ate('spinach', 14))).toBeNull();
    expect(groupEarned(ate('spinach', 15))).toBe('greens');
    expect(groupEarned(ate('cow-milk', 10))).toBeNull(); // the milk in a cup of tea
  });

  it('count leaves used as seasoning only when 15 g or more is told (M)', () => {
    for (const id of ['coriander-leaves', 'mint', 'curry-leaves']) {
      expect(groupEarned(ate(id, null)), id).toBeNull();
      expect(groupEarned(ate(id, 4)), id).toBeNull();
      expect(groupEarned(ate(id, 20)), id).toBe('greens');
    }
  });

  it('do not count fried snacks, sweets, sweet drinks, cream or what is only seasoning (M)', () => {
    for (const form of ['fried-snack', 'sweet', 'sweet-drink', 'cream', 'as-seasoning'] as const) {
      expect(groupEarned(ate('potato', 80, form))).toBeNull();
    }
    expect(groupEarned(ate('prawns', 20, 'as-seasoning'))).toBeNull();
  });

  it('count a group once, in the order of the guide', () => {
    expect(groupsEaten([ate('egg', 50), ate('rice', 150), ate('potato', 100), ate('ghee', 20)])).toEqual([
      'grains',
      'eggs',
    ]);
    expect(groupsEaten([])).toEqual([]);
  });

  it('agree with the rule for vitamin A: 60 ug RAE or more in 100 g, where the table can be trusted', () => {
    // Source: the guide of 2016, box 2. Orange pumpkin stands by its colour: the table's figure is doubtful.
    for (const one of foods.values()) {
      const rae = one.per100g.vitaminA;
      if (rae === undefined || one.id === 'pumpkin') continue;
      if (one.group === 'orange' || (one.group === 'greens' && one.usedAs === 'food'))
        expect(rae, one.id).toBeGreaterThanOrEqual(60);
      if (one.group === 'fruits') expect(rae, one.id).toBeLessThan(60);
    }
  });

  it('never fall when more is eaten', () => {
    const anyEaten = fc.record({
      food: fc.constantFrom(...foods.values()),
      grams: fc.option(fc.double({ min: 0, max: 500, noNaN: true }), { nil: null }),
    });
    fc.assert(
      fc.property(fc.array(anyEaten, { maxLength: 12 }), anyEaten, (day, more) => {
        const before = groupsEaten(day);
        const after = groupsEaten([...day, more]);
        expect(after.length - before.length).toBeGreaterThanOrEqual(0);
        expect(after.length).toBeLessThanOrEqual(foodGroups.length);
      }),
    );
  });
});

describe('figures for a programme', () => {
  it('give the share of women with five groups or more', () => {
    expect(diversityFigures([4, 5, 6, 3])).toEqual({ women: 4, reached: 2, share: 0.5, meanGroups: 4.5 });
    expect(diversityFigures([])).toEqual({ women: 0, reached: 0, share: undefined, meanGroups: undefined });
    expect(() => diversityFigures([11])).toThrow(RangeError);
    expect(() => diversityFigures([4.5])).toThrow(RangeError);
  });
});
