import { describe, expect, it } from 'vitest';
import { type FoodGroup, foodGroups } from '../../../src/care/diet/food-groups.ts';
import { mayEat } from '../../../src/care/diet/her-food.ts';
import {
  askedTogether,
  type DietRecall,
  groupsFromChoices,
  recallResult,
  weekGaps,
} from '../../../src/care/diet/recall.ts';
import { food, foods } from './content.ts';

const ate = (...groups: FoodGroup[]): DietRecall => ({
  day: '2026-01-10',
  groups: Object.fromEntries(foodGroups.map((group) => [group, groups.includes(group)])) as Record<
    FoodGroup,
    boolean
  >,
  meals: 4,
  glassesOfWater: 10,
  iodisedSalt: true,
  sun: true,
  supplementsTaken: true,
  avoidedForBaby: null,
});
const veg = { eats: 'veg', avoids: [], allergies: [] } as const;

describe('one recall', () => {
  it('counts the groups and names those missing, in the order of the guide', () => {
    const result = recallResult(ate('grains', 'pulses', 'dairy', 'vegetables', 'fruits'), veg, foods, 1);
    expect(result).toMatchObject({
      count: 5,
      complete: true,
      missing: ['nuts', 'flesh', 'eggs', 'greens', 'orange'],
      notes: [],
    });
  });

  it('suggests one thing that she eats, can afford, and that is in season', () => {
    for (const eats of ['veg', 'egg', 'all'] as const) {
      for (let month = 1; month <= 12; month++) {
        const her = { eats, avoids: ['spinach'], allergies: ['milk'] } as const;
        const { step } = recallResult(ate(), her, foods, month);
        const suggested = food(step.food ?? '');
        expect(mayEat(suggested, her)).toBe(true);
        expect(suggested.cost).toBe('low');
        expect(suggested.months === null || suggested.months.includes(month)).toBe(true);
        expect(suggested.group).toBe(step.group);
      }
    }
  });

  it('does not repeat the group suggested last, and says well done when nothing is missing', () => {
    const first = recallResult(ate('grains'), veg, foods, 1).step.group;
    const next = recallResult(ate('grains'), veg, foods, 1, 'low', first === null ? [] : [first]).step.group;
    expect(next).not.toBe(first);
    expect(recallResult(ate(...foodGroups), veg, foods, 1).step).toEqual({ group: null, food: null });
    expect(
      recallResult(ate(...foodGroups.filter((g) => g !== 'eggs' && g !== 'flesh')), veg, foods, 1).step.group,
    ).toBeNull();
  });

  it('keeps a group left open out of both lists', () => {
    const open = { ...ate('grains'), groups: { ...ate('grains').groups, eggs: null } };
    expect(recallResult(open, veg, foods, 1)).toMatchObject({ complete: false, notes: ['groups-left-open'] });
    expect(recallResult(open, veg, foods, 1).missing).not.toContain('eggs');
  });

  it('notes what the counsellor may want to see', () => {
    const poor = {
      ...ate(...foodGroups),
      meals: 2,
      glassesOfWater: 3,
      iodisedSalt: false,
      sun: false,
      supplementsTaken: false,
      avoidedForBaby: 'dahi',
    };
    expect(recallResult(poor, veg, foods, 1).notes).toEqual([
      'few-meals',
      'little-water',
      'salt-without-iodine',
      'no-sun',
      'supplements-not-taken',
      'avoids-for-baby',
    ]);
  });
});

describe('the two texts of the recall', () => {
  it('hold the ten groups once each, five at most, and are read by number', () => {
    expect(askedTogether.flat()).toEqual([...foodGroups]);
    for (const asked of askedTogether) expect(asked.length).toBeLessThanOrEqual(9);
    const groups = groupsFromChoices([[1, 4], []]);
    expect(
      Object.entries(groups)
        .filter(([, ate]) => ate)
        .map(([group]) => group),
    ).toEqual(['grains', 'dairy']);
    expect(groups.fruits).toBe(false);
    expect(groupsFromChoices([[1], null]).eggs).toBeNull();
    expect(() => groupsFromChoices([[6], null])).toThrow(RangeError);
  });
});

describe('what a week lacks', () => {
  it('is the part of the days answered without a group; what she does not eat is no gap', () => {
    const gaps = weekGaps([ate('grains', 'greens'), ate('grains')], veg);
    expect(gaps).toMatchObject({ grains: 0, greens: 0.5, pulses: 1 });
    expect(gaps).not.toHaveProperty('flesh');
    expect(gaps).not.toHaveProperty('eggs');
    expect(weekGaps([], veg)).toEqual({});
  });
});
