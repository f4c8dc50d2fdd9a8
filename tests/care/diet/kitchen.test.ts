import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseDishes, type DishWish } from '../../../src/care/diet/choose-dish.ts';
import type { Dish } from '../../../src/care/diet/dishes.ts';
import { readKitchen } from '../../../src/care/diet/kitchen.ts';
import { dishes, foods, need, readNames, yamlOf } from './content.ts';

interface Case {
  readonly has: readonly string[];
  readonly lacks?: readonly string[];
}
const ways = ['en', 'hi', 'hi-Latn', 'mr', 'mr-Latn'] as const;
const fixture = yamlOf('tests/care/diet/fixtures/kitchens.yaml') as (Case &
  Record<(typeof ways)[number], string>)[];
const lists = fixture.flatMap((one) =>
  ways.map((way) => ({ way, text: one[way], has: one.has, lacks: one.lacks ?? [] })),
);

const wish = (kitchen: readonly string[], eats: 'veg' | 'egg' | 'all' = 'all'): DishWish => ({
  kitchen,
  her: { eats, avoids: [], allergies: [] },
  groupGaps: { greens: 1, pulses: 0.5, orange: 1, dairy: 0.5 },
  short: ['protein', 'iron'],
  need,
  offered: {},
  month: 1,
});

/** Exhaustive, and written apart from the code under test: tries every food of the house in every place. */
function someFilling(dish: Dish, house: readonly string[], eats: 'veg' | 'egg' | 'all'): boolean {
  const all = [...new Set([...house, ...dishes.alwaysThere])].filter((id) => {
    const kind = foods.get(id)?.kind;
    return kind === 'veg' || (kind === 'egg' && eats !== 'veg') || (kind === 'flesh' && eats === 'all');
  });
  const place = (at: number, left: readonly string[]): boolean => {
    const slot = dish.needs[at];
    if (slot === undefined) return true;
    return left.some(
      (id) =>
        slot.options.some((option) => option.food === id) &&
        place(
          at + 1,
          left.filter((other) => other !== id),
        ),
    );
  };
  return place(0, all);
}

describe('reading what is in the house', () => {
  it('has 150 lists in five ways of writing', () => {
    expect(lists).toHaveLength(150);
  });

  it.each(lists)('$way: $text', ({ text, has, lacks }) => {
    const read = readKitchen(text, readNames, foods);
    expect([...read.has].sort()).toEqual([...has].sort());
    expect(read.lacks).toEqual(lacks);
  });

  it('never takes as there what she says is not there', () => {
    expect(readKitchen('anda aur doodh nahi hai par dahi hai', readNames, foods)).toMatchObject({
      has: ['curd'],
      lacks: ['egg', 'cow-milk'],
    });
    expect(readKitchen('no eggs, palak', readNames, foods)).toMatchObject({
      has: ['spinach'],
      lacks: ['egg'],
    });
    expect(readKitchen('bina anda, besan', readNames, foods)).toMatchObject({
      has: ['besan'],
      lacks: ['egg'],
    });
  });

  it('tells oil from sesame and mutton from buttermilk, which sound alike', () => {
    expect(readKitchen('tel', readNames, foods).has).toEqual(['oil']);
    expect(readKitchen('til', readNames, foods).has).toEqual(['til']);
    expect(readKitchen('matan mattha', readNames, foods).has).toEqual(['goat', 'buttermilk']);
  });

  it('reads past a slip, and says that it did', () => {
    const read = readKitchen('plak gajr chwal dudh', readNames, foods);
    expect(read.has).toEqual(['spinach', 'carrot', 'rice', 'cow-milk']);
    expect(read.unsure).toEqual(['spinach', 'carrot', 'rice']);
    expect(readKitchen('palakbesananda', readNames, foods).has).toEqual(['spinach', 'besan', 'egg']);
  });

  it('reads nine in ten names with one slip of the finger, and seldom takes one for another', () => {
    // A letter left out, doubled, swapped or wrong after the first one, in every name of the table; drawn by a fixed rule.
    let state = 11;
    const draw = (below: number): number => {
      state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
      return Math.floor(state / 65_536) % below;
    };
    const slipped = (word: string): string => {
      const at = 1 + draw(word.length - 1);
      const cut = word.slice(0, at);
      switch (draw(4)) {
        case 0:
          return cut + word.slice(at + 1);
        case 1:
          return cut + word.slice(at - 1);
        case 2:
          return cut + word.slice(at + 1, at + 2) + word.slice(at, at + 1) + word.slice(at + 2);
        default:
          return `${cut}${'aeiou'.charAt(draw(5))}${word.slice(at + 1)}`;
      }
    };
    const names = yamlOf('locales/hi-Latn/foods.yaml') as { food: Record<string, string> };
    let [right, wrong, all] = [0, 0, 0];
    for (const [id, name] of Object.entries(names.food)) {
      const words = name.split(' ');
      const which = draw(words.length);
      if ((words[which] ?? '').length < 4) continue;
      const text = words.map((word, at) => (at === which ? slipped(word) : word)).join(' ');
      const { has } = readKitchen(text, readNames, foods);
      all++;
      if (has.length === 1 && has[0] === id) right++;
      else if (has.length > 0) wrong++;
    }
    expect(all).toBeGreaterThan(120);
    expect(right / all).toBeGreaterThan(0.9);
    expect(wrong / all).toBeLessThan(0.06);
  });

  it('takes an allergy for a thing not to use, and butter for no maize', () => {
    expect(readKitchen('egg allergy hai, palak', readNames, foods)).toMatchObject({
      has: ['spinach'],
      lacks: ['egg'],
    });
    expect(readKitchen('makhan', readNames, foods)).toMatchObject({ has: [], unread: ['makhan'] });
  });

  it('says which words it did not know, and which it guessed', () => {
    const read = readKitchen('palak xylophone tamatr', readNames, foods);
    expect(read.has).toEqual(['spinach', 'tomato']);
    expect(read.unread).toEqual(['xylophone']);
  });

  it('never throws, whatever is typed', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'grapheme', maxLength: 400 }),
        (text) => void readKitchen(text, readNames, foods),
      ),
    );
  });
});

describe('what can I cook', () => {
  it.each(['veg', 'egg', 'all'] as const)('offers a dish wherever one exists (%s)', (eats) => {
    for (const { text } of lists) {
      const { has } = readKitchen(text, readNames, foods);
      const possible = [...dishes.byId.values()].filter((dish) => someFilling(dish, has, eats));
      const offered = chooseDishes(wish(has, eats), dishes, foods).now;
      expect(offered.length, text).toBe(Math.min(3, possible.length));
      for (const { dish } of offered) expect(possible, text).toContain(dish);
    }
  });

  it('finds a dish in all lists of the fixture but the one with salt and turmeric only', () => {
    const none = lists.filter(({ has }) => chooseDishes(wish(has), dishes, foods).now.length === 0);
    expect(new Set(none.map(({ has }) => has.join()))).toEqual(new Set(['salt,turmeric']));
  });

  it('answers in under 10 ms at the median', () => {
    const times = lists.map(({ text }) => {
      const from = performance.now();
      chooseDishes(wish(readKitchen(text, readNames, foods).has), dishes, foods);
      return performance.now() - from;
    });
    times.sort((a, b) => a - b);
    expect(times[75]).toBeLessThan(10);
  });
});
