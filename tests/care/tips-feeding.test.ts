import { describe, expect, it } from 'vitest';
import { daysInMonth } from '../../src/care/age.ts';
import { tips } from './tips.ts';
import { openWording } from '../../src/language/wording.ts';
import { contentRoot, localeFiles } from '../../src/programme/load-content.ts';

const wording = openWording(localeFiles(contentRoot, 'tips.yaml'));
const inEnglish = (id: string) => wording.say(`tips.${id}`, {}, 'en', 'text');

// WHO, Infant and young child feeding: model chapter, 2009, session 3: how much, how often and how soft, by age, for children
// who are breastfed. Figures as UNICEF's counselling leaflet of February 2010 and WHO's answers on child health of 2011 give
// them (both seen, 2026-11-25): the cup is 250 ml.
const bands = [
  {
    months: [6, 9],
    meals: /two or three meals|two times a day/,
    amount: /two or three big spoons|half a cup/,
    texture: /thick|mashed|stay on the spoon/,
  },
  {
    months: [9, 12],
    meals: /three or four meals/,
    amount: /half a cup/,
    texture: /finely chopped or mashed/,
  },
  {
    months: [12, 24],
    meals: /three or four meals/,
    amount: /three quarters to one full cup/,
    texture: /chopped or mashed/,
  },
] as const;

const meals = tips.filter(({ topic }) => topic === 'meals' || topic === 'first-foods');

describe('amounts of food by age', () => {
  it.each(bands)('tells how often, how much and how soft from $months', ({ months, ...wanted }) => {
    // A day or two either way is no matter: food begins at 180 days, WHO guideline for complementary feeding, 2023, recommendation 3.
    const [from, until] = [months[0] * daysInMonth - 3, months[1] * daysInMonth + 1];
    const told = meals.filter((tip) => tip.fromDays >= from && tip.untilDays <= until);
    for (const what of Object.values(wanted)) {
      const found = told.filter(({ id }) => what.test(inEnglish(id)));
      expect([what, found.length > 0]).toEqual([what, true]);
    }
  });

  it("tells no figure at an age at which it is not WHO's", () => {
    const figures = [
      [/two or three meals|two or three big spoons|two times a day/, 6, 9],
      [/three or four meals/, 9, 24],
      [/half a cup/, 6, 12],
      [/three quarters to one full cup/, 12, 24],
    ] as const;
    for (const [words, from, until] of figures) {
      const saying = meals.filter(({ id }) => words.test(inEnglish(id)));
      expect(saying).not.toEqual([]);
      for (const { id, fromDays, untilDays } of saying) {
        expect([id, fromDays >= from * daysInMonth - 3]).toEqual([id, true]);
        expect([id, untilDays <= until * daysInMonth + 1]).toEqual([id, true]);
      }
    }
  });

  it('says that the cup holds 250 ml wherever it measures by the cup, and calls it a quarter of a litre in a call', () => {
    const cups = meals.filter(
      ({ id }) => /\bcup\b/.test(inEnglish(id)) && /half|quarters/.test(inEnglish(id)),
    );
    expect(cups).toHaveLength(3);
    for (const { id } of cups) {
      expect(inEnglish(id)).toContain('250 ml');
      expect(wording.say(`tips.${id}`, {}, 'en', 'voice')).toContain('a quarter of a litre');
    }
  });

  it('offers no food, water or other milk before 180 days', () => {
    // WHO guideline for complementary feeding, 2023, recommendation 3: at 6 months (180 days), while breastfeeding goes on.
    const early = tips.filter(
      (tip) => tip.fromDays < 180 && ['first-foods', 'meals', 'clean-food'].includes(tip.topic),
    );
    for (const { id } of early)
      expect(inEnglish(id)).toMatch(/too early|Not before|Until then your milk is all/);
    expect(early.map(({ id }) => id).sort()).toEqual([
      'early-baby-first-foods',
      'four-months-is-too-early',
      'ready-for-food',
    ]);
  });

  it('keeps honey out of the first year, and breastfeeding to two years and on', () => {
    const honey = tips.filter(({ id }) => /honey/i.test(inEnglish(id)));
    for (const { id, untilDays } of honey) {
      expect(inEnglish(id)).toMatch(/[Nn]o honey/);
      expect(untilDays).toBeLessThanOrEqual(366);
    }
    expect(inEnglish('to-two-years-and-on')).toContain('two years and longer');
  });

  it('offers egg, fish and meat only to who eats them', () => {
    for (const tip of tips) {
      const words = inEnglish(tip.id);
      if (/without egg|without meat|as your family eats/i.test(words)) continue;
      if (/\b(fish|meat)\b/.test(words)) expect([tip.id, tip.when.eats]).toEqual([tip.id, ['all']]);
      else if (/\beggs?\b/i.test(words))
        expect([tip.id, (tip.when.eats ?? []).includes('veg'), tip.when.eats]).toEqual([
          tip.id,
          false,
          expect.any(Array),
        ]);
    }
  });

  it('names egg, fish, milk, curd, nuts and sesame only where who is allergic is not told', () => {
    const foods = [
      [/\beggs?\b/i, 'egg'],
      [/\bfish\b/i, 'fish'],
      [/\bpeanuts?\b/i, 'peanut'],
      [/\btil\b/, 'sesame'],
      [/animal milk/, 'milk'],
    ] as const;
    for (const { id, allergens } of tips) {
      const words = inEnglish(id);
      if (
        /without egg|without meat|as your family eats|boiled animal|if you (use|take)/.test(words) &&
        allergens.length === 0
      )
        continue;
      for (const [food, allergen] of foods)
        if (food.test(words)) expect([id, allergens]).toEqual([id, expect.arrayContaining([allergen])]);
    }
  });
});
