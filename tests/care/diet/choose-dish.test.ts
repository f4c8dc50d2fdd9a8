import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bestSet,
  chooseDishes,
  type DishWish,
  type Valued,
  valueOf,
  worthOf,
} from '../../../src/care/diet/choose-dish.ts';
import type { DishNutrient } from '../../../src/care/diet/dish-nutrition.ts';
import { dishNutrients } from '../../../src/care/diet/dish-nutrition.ts';
import { type FoodGroup, foodGroups } from '../../../src/care/diet/food-groups.ts';
import { allergens } from '../../../src/care/diet/foods.ts';
import { larder, waysToMake } from '../../../src/care/diet/substitution.ts';
import { dishes, foods, need } from './content.ts';

const ids = [...foods.keys()];
const plainWish: DishWish = {
  kitchen: [],
  her: { eats: 'all', avoids: [], allergies: [] },
  groupGaps: {},
  short: [],
  need,
  offered: {},
  month: 1,
};

const anyHer = fc.record({
  eats: fc.constantFrom('veg', 'egg', 'all' as const),
  avoids: fc.uniqueArray(fc.constantFrom(...ids), { maxLength: 12 }),
  allergies: fc.uniqueArray(fc.constantFrom(...allergens), { maxLength: 3 }),
});
const anyWish = (kitchen: fc.Arbitrary<string[]>): fc.Arbitrary<DishWish> =>
  fc.record({
    kitchen,
    her: anyHer,
    groupGaps: fc.dictionary(
      fc.constantFrom(...foodGroups),
      fc.double({ min: 0, max: 1, noNaN: true }),
    ) as fc.Arbitrary<Partial<Record<FoodGroup, number>>>,
    short: fc.uniqueArray(fc.constantFrom<DishNutrient>(...dishNutrients), { maxLength: 4 }),
    need: fc.constant(need),
    offered: fc.dictionary(fc.constantFrom(...dishes.byId.keys()), fc.integer({ min: 0, max: 10 }), {
      maxKeys: 8,
    }),
    month: fc.integer({ min: 1, max: 12 }),
  });
/** What three or four dishes are made of, and a few things more: small enough to try every set. */
const someDishes = fc
  .tuple(
    fc.uniqueArray(fc.constantFrom(...dishes.byId.values()), { minLength: 3, maxLength: 4 }),
    fc.uniqueArray(fc.constantFrom(...ids), { maxLength: 3 }),
  )
  .map(([chosen, more]) => [
    ...new Set([
      ...chosen.flatMap(({ needs }) =>
        needs.flatMap(({ options }) => options.slice(0, 1).map(({ food }) => food)),
      ),
      ...more,
    ]),
  ]);
const someFoods = (maxLength: number) => fc.uniqueArray(fc.constantFrom(...ids), { maxLength });

/** Every way of every dish, every set of up to three different dishes: the best worth there is. No shortcut taken. */
function bestByBruteForce(wish: DishWish): { readonly size: number; readonly worth: number } {
  const stock = larder(wish.kitchen, dishes, foods, wish.her);
  const wanted = Object.keys(wish.groupGaps) as FoodGroup[];
  const gaps = wanted.map((group) => wish.groupGaps[group] ?? 0);
  const all = [...dishes.byId.values()]
    .flatMap((dish) => waysToMake(dish, stock))
    .map((made) => valueOf(made, wish, wanted, foods));
  const size = Math.min(3, new Set(all.map(({ made }) => made.dish.id)).size);
  let worth = Number.NEGATIVE_INFINITY;
  const pick = (from: number, so: readonly Valued[]): void => {
    if (so.length === size) {
      worth = Math.max(worth, worthOf(so, gaps));
      return;
    }
    for (let at = from; at < all.length; at++) {
      const next = all[at];
      if (next !== undefined && !so.some(({ made }) => made.dish === next.made.dish))
        pick(at + 1, [...so, next]);
    }
  };
  pick(0, []);
  return { size, worth };
}

function worthOfChoice(wish: DishWish): { readonly size: number; readonly worth: number } {
  const wanted = Object.keys(wish.groupGaps) as FoodGroup[];
  const gaps = wanted.map((group) => wish.groupGaps[group] ?? 0);
  const { now } = chooseDishes(wish, dishes, foods);
  return {
    size: now.length,
    worth:
      now.length === 0
        ? 0
        : worthOf(
            now.map((made) => valueOf(made, wish, wanted, foods)),
            gaps,
          ),
  };
}

describe('the best set', () => {
  const someDish = [...dishes.byId.values()].slice(0, 8);
  const anyWay: fc.Arbitrary<Valued> = fc
    .record({
      of: fc.constantFrom(...someDish),
      own: fc.double({ min: -2, max: 2, noNaN: true }),
      fills: fc.nat({ max: 63 }),
    })
    .map(({ of, own, fills }) => ({ made: { dish: of, filled: [], added: [] }, own, fills }));

  it('is never beaten by any other set of as many dishes, whatever the worths and gaps', () => {
    fc.assert(
      fc.property(
        fc.array(anyWay, { minLength: 1, maxLength: 14 }),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 6, maxLength: 6 }),
        (ways, gaps) => {
          const size = Math.min(3, new Set(ways.map(({ made }) => made.dish)).size);
          let best = Number.NEGATIVE_INFINITY;
          const pick = (from: number, so: readonly Valued[]): void => {
            if (so.length === size) best = Math.max(best, worthOf(so, gaps));
            else
              ways.slice(from).forEach((next, at) => {
                if (!so.some(({ made }) => made.dish === next.made.dish)) pick(from + at + 1, [...so, next]);
              });
          };
          pick(0, []);
          const chosen = bestSet(ways, gaps);
          expect(chosen).toHaveLength(size);
          expect(new Set(chosen.map(({ made }) => made.dish)).size).toBe(size);
          expect(worthOf(chosen, gaps)).toBeCloseTo(best, 9);
        },
      ),
      { numRuns: 1000 },
    );
  });
});

describe('the choice of dishes', () => {
  it('is the best set there is, by brute force over all sets', () => {
    let sets = 0;
    fc.assert(
      fc.property(anyWish(someDishes), (wish) => {
        const chosen = worthOfChoice(wish);
        const best = bestByBruteForce(wish);
        expect(chosen.size).toBe(best.size);
        if (best.size > 0) expect(chosen.worth).toBeCloseTo(best.worth, 9);
        if (best.size === 3) sets++;
      }),
      { numRuns: 120 },
    );
    expect(sets).toBeGreaterThan(20);
  });

  it('never offers or asks for what she avoids, is allergic to or does not eat, whatever is in the house', () => {
    fc.assert(
      fc.property(
        anyWish(
          fc.oneof({ weight: 5, arbitrary: someFoods(40) }, { weight: 1, arbitrary: fc.constant(ids) }),
        ),
        ({ ...wish }) => {
          const { now, missingOne } = chooseDishes(wish, dishes, foods);
          const offered = now.flatMap(({ filled, added }) => [...filled, ...added].map(({ food }) => food));
          for (const id of [...offered, ...missingOne.flatMap(({ missing }) => missing)]) {
            const food = foods.get(id);
            expect(wish.her.avoids).not.toContain(id);
            for (const allergen of food?.allergens ?? []) expect(wish.her.allergies).not.toContain(allergen);
            if (wish.her.eats === 'veg') expect(food?.kind).toBe('veg');
            if (wish.her.eats === 'egg') expect(food?.kind).not.toBe('flesh');
          }
          const house = new Set([...wish.kitchen, ...dishes.alwaysThere]);
          for (const id of offered) expect(house).toContain(id);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('keeps each dish from a mother who may not eat one thing in it', () => {
    for (const dish of dishes.byId.values()) {
      for (const { options } of dish.needs) {
        const avoids = options.map(({ food }) => food);
        const her = { eats: 'all', avoids, allergies: [] } as const;
        const { now } = chooseDishes({ ...plainWish, kitchen: ids, her }, dishes, foods);
        expect(now.map((made) => made.dish.id)).not.toContain(dish.id);
      }
    }
  });

  it('leaves out a free addition that she avoids, not the dish', () => {
    const her = { eats: 'veg', avoids: ['onion'], allergies: [] } as const;
    const { now } = chooseDishes(
      { ...plainWish, kitchen: ['besan', 'spinach', 'onion'], her },
      dishes,
      foods,
    );
    expect(now.map(({ dish }) => dish.id)).toContain('greens-cheela');
    expect(now.flatMap(({ added }) => added.map(({ food }) => food))).not.toContain('onion');
  });

  it('puts first what her week lacks', () => {
    const kitchen = ['besan', 'spinach', 'onion', 'curd', 'banana', 'rice', 'toor-dal'];
    const first = (groupGaps: DishWish['groupGaps']) =>
      chooseDishes({ ...plainWish, kitchen, groupGaps }, dishes, foods).now.map(({ dish }) => dish.id);
    expect(first({ fruits: 1 })).toContain('fruit-curd');
    expect(['greens-cheela', 'greens-dal', 'greens-kadhi']).toContain(first({ greens: 1, pulses: 1 })[0]);
  });

  it('offers another when one was offered yesterday', () => {
    const kitchen = [
      'besan',
      'spinach',
      'curd',
      'banana',
      'moong-dal',
      'rice',
      'ragi-flour',
      'cow-milk',
      'jaggery',
    ];
    const wish = { ...plainWish, kitchen, groupGaps: { greens: 1, dairy: 1 } };
    const before = chooseDishes(wish, dishes, foods).now.map(({ dish }) => dish.id);
    const offered = Object.fromEntries(before.map((id) => [id, 1]));
    const after = chooseDishes({ ...wish, offered }, dishes, foods).now.map(({ dish }) => dish.id);
    expect(before.filter((id) => after.includes(id)).length).toBeLessThan(3);
  });

  it('still offers the only dish there is, though it was offered today', () => {
    const wish = {
      ...plainWish,
      kitchen: ['cow-milk', 'ragi-flour', 'jaggery'],
      offered: { 'ragi-porridge': 0, 'milk-kheer': 0 },
    };
    expect(chooseDishes(wish, dishes, foods).now.length).toBeGreaterThan(0);
  });

  it('offers the missing thing with what could stand in', () => {
    const { now, missingOne } = chooseDishes({ ...plainWish, kitchen: ['besan'] }, dishes, foods);
    expect(now).toEqual([]);
    expect(missingOne.map(({ dish }) => dish.id)).toContain('pithla');
    expect(missingOne.find(({ dish }) => dish.id === 'pithla')?.missing[0]).toBe('onion');
  });
});
