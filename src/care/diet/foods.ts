import { z } from 'zod';
import { ContentError } from '../../errors.ts';
import { type FoodGroup, foodGroups } from './food-groups.ts';
import { type NutrientFigures, nutrients } from './nutrients.ts';

/** Household measures. A bowl is 150 ml, a glass 200 ml, a spoon 15 ml, a tsp 5 ml (common practice, no source). */
export const measures = [
  'bowl',
  'glass',
  'spoon',
  'tsp',
  'piece',
  'handful',
  'bunch',
  'pinch',
  'roti',
  'paratha',
  'plate',
] as const;
export type Measure = (typeof measures)[number];

/** What a mother may have to keep away from. `gluten` stands for wheat and barley. */
export const allergens = [
  'gluten',
  'milk',
  'egg',
  'peanut',
  'nuts',
  'sesame',
  'soya',
  'fish',
  'shellfish',
  'mustard',
] as const;
export type Allergen = (typeof allergens)[number];

const grams = z.number().positive().max(1000);
const weights = z.partialRecord(z.enum(measures), grams).refine((given) => Object.keys(given).length > 0, {
  message: 'a portion with no weight: give grams for at least one measure',
});
const figure = z.number().min(0).max(20_000);

const foodSchema = z.strictObject({
  code: z
    .string()
    .regex(/^[A-T]\d{3}$/)
    .optional(),
  share: z.number().positive().max(1).optional(),
  'stands-for': z.string().optional(),
  source: z.string().optional(),
  doubt: z.string().optional(),
  group: z.enum([...foodGroups, 'none']),
  kind: z.enum(['veg', 'egg', 'flesh']).default('veg'),
  'used-as': z.enum(['food', 'seasoning', 'sweet', 'fat']).default('food'),
  cost: z.enum(['low', 'middle', 'high']),
  months: z.array(z.int().min(1).max(12)).min(1).optional(),
  raw: weights,
  eaten: weights,
  swells: z.number().positive().max(6).default(1),
  soak: z.int().positive().max(24).optional(),
  allergens: z.array(z.enum(allergens)).default([]),
  per100g: z.partialRecord(z.enum(nutrients), figure),
  also: z
    .partialRecord(z.enum(nutrients), z.strictObject({ value: figure, source: z.string().min(5) }))
    .optional(),
});

export const foodsFile = z.strictObject({ foods: z.record(z.string().regex(/^[a-z][a-z-]*$/), foodSchema) });

/** One household food. All weights in grams; see `flows/foods.yaml` for what each column means and where it is from. */
export interface Food {
  readonly id: string;
  /** Row of the Indian Food Composition Tables 2017; null when the figures are of another table. */
  readonly code: string | null;
  /** The part of the tabulated food that this one is; the rest is water or air. */
  readonly share: number;
  readonly group: FoodGroup | 'none';
  readonly kind: 'veg' | 'egg' | 'flesh';
  readonly usedAs: 'food' | 'seasoning' | 'sweet' | 'fat';
  readonly cost: 'low' | 'middle' | 'high';
  /** Months 1-12 when it is in season; null: all year. */
  readonly months: readonly number[] | null;
  readonly raw: Readonly<Partial<Record<Measure, number>>>;
  readonly eaten: Readonly<Partial<Record<Measure, number>>>;
  /** Cooked weight for 1 of raw weight. */
  readonly swells: number;
  readonly soakHours: number;
  readonly allergens: readonly Allergen[];
  /** Per 100 g of the raw food, figures of other tables included. */
  readonly per100g: NutrientFigures;
}

/** The foods by their name in the file, in its order. */
export type Foods = ReadonlyMap<string, Food>;

/**
 * Reads `flows/foods.yaml`.
 * @param data the parsed file
 * @throws ContentError with a sentence for each thing wrong
 */
export function openFoods(data: unknown, file = 'flows/foods.yaml'): Foods {
  const read = foodsFile.safeParse(data);
  if (!read.success) {
    throw new ContentError(
      read.error.issues.map((issue) => `${file}: ${issue.path.join('.')}: ${issue.message}`),
    );
  }
  return new Map(
    Object.entries(read.data.foods).map(([id, row]) => {
      const others = Object.entries(row.also ?? {}).map(([name, { value }]) => [name, value] as const);
      const food: Food = {
        id,
        code: row.code ?? null,
        share: row.share ?? 1,
        group: row.group,
        kind: row.kind,
        usedAs: row['used-as'],
        cost: row.cost,
        months: row.months ?? null,
        raw: row.raw,
        eaten: row.eaten,
        swells: row.swells,
        soakHours: row.soak ?? 0,
        allergens: row.allergens,
        per100g: { ...row.per100g, ...Object.fromEntries(others) },
      };
      return [id, food];
    }),
  );
}

/** True when the food is in season in that month (1-12) or all year. */
export const inSeason = (food: Food, month: number): boolean =>
  food.months === null || food.months.includes(month);
