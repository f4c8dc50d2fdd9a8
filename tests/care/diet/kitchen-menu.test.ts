import { describe, expect, it } from 'vitest';
import { chooseDishes } from '../../../src/care/diet/choose-dish.ts';
import { dietHistory } from '../../../src/care/diet/diet-history.ts';
import { eatenGrams } from '../../../src/care/diet/estimate.ts';
import { type FoodGroup, foodGroups } from '../../../src/care/diet/food-groups.ts';
import { mayEat } from '../../../src/care/diet/her-food.ts';
import { kitchenPages } from '../../../src/care/diet/kitchen-menu.ts';
import { groupEarned } from '../../../src/care/diet/mdd-w.ts';
import { dishes, food, foods, need } from './content.ts';

describe('a kitchen told by keypad', () => {
  it('has four pages that fit a keypad, of foods that she may eat in their season', () => {
    for (const eats of ['veg', 'egg', 'all'] as const) {
      const her = { eats, avoids: ['spinach'], allergies: ['peanut'] } as const;
      for (let month = 1; month <= 12; month++) {
        const pages = kitchenPages(dishes, foods, her, month);
        expect(pages).toHaveLength(4);
        for (const page of pages) {
          expect(page.length).toBeGreaterThan(2);
          expect(page.length).toBeLessThanOrEqual(9);
          for (const id of page) expect(mayEat(food(id), her)).toBe(true);
        }
        expect(new Set(pages.flat()).size).toBe(pages.flat().length);
      }
    }
  });

  it('leads to three dishes when she has the first of each page', () => {
    const her = { eats: 'veg', avoids: [], allergies: [] } as const;
    const kitchen = kitchenPages(dishes, foods, her, 1).flatMap((page) => page.slice(0, 2));
    const wish = { kitchen, her, groupGaps: {}, short: [], need, offered: {}, month: 1 };
    expect(chooseDishes(wish, dishes, foods).now).toHaveLength(3);
  });
});

describe('a portion as eaten', () => {
  it('is weighed cooked for the 15 g rule', () => {
    // A bowl of cooked dal is 25 g of dry dal, about 125 g as eaten; two spoons of chopped coriander are not 15 g.
    const dal = { food: food('toor-dal'), measure: 'bowl', count: 0.5 } as const;
    expect(groupEarned({ food: dal.food, grams: eatenGrams(dal) })).toBe('pulses');
    const leaves = { food: food('coriander-leaves'), measure: 'spoon', count: 2 } as const;
    expect(groupEarned({ food: leaves.food, grams: eatenGrams(leaves) })).toBeNull();
  });
});

describe('her diet over time', () => {
  const day = (on: string, ...groups: FoodGroup[]) => ({
    day: on,
    groups: Object.fromEntries(foodGroups.map((group) => [group, groups.includes(group)])) as Record<
      FoodGroup,
      boolean
    >,
    meals: null,
    glassesOfWater: null,
    iodisedSalt: null,
    sun: null,
    supplementsTaken: null,
    avoidedForBaby: null,
  });
  it('shows groups by day, gaps, and dishes offered and cooked', () => {
    const history = dietHistory(
      [
        day('2026-01-08', 'grains'),
        day('2026-01-05', 'grains', 'pulses'),
        day('2026-01-08', 'grains', 'dairy'),
      ],
      [
        { dish: 'pithla', day: '2026-01-05', cooked: true },
        { dish: 'pithla', day: '2026-01-08', cooked: false },
        { dish: 'raita', day: '2026-01-08', cooked: true },
      ],
      { eats: 'veg', avoids: [], allergies: [] },
    );
    expect(history.days.map((one) => [one.day, one.eaten])).toEqual([
      ['2026-01-05', ['grains', 'pulses']],
      ['2026-01-08', ['grains', 'dairy']],
    ]);
    expect(history.gaps[0]).toEqual({ group: 'nuts', daysWithout: 1 });
    expect(history.gaps.map(({ group }) => group)).not.toContain('eggs');
    expect(history.gaps).toContainEqual({ group: 'pulses', daysWithout: 0.5 });
    expect(history.dishes).toEqual([
      { dish: 'pithla', offered: 2, cooked: 1 },
      { dish: 'raita', offered: 1, cooked: 1 },
    ]);
  });
});
