import { z } from 'zod';
import { ContentError } from '../../errors.ts';
import { type Foods, type Measure, measures } from './foods.ts';

const slotSchema = z.strictObject({
  as: z
    .string()
    .regex(/^[a-z]+$/)
    .optional(),
  food: z.string(),
  amount: z.number().positive().max(20),
  measure: z.enum(measures),
  grams: z.number().positive().max(1000).optional(),
  instead: z.record(z.string(), z.number().positive().max(1000)).optional(),
});

const dishSchema = z.strictObject({
  minutes: z.int().min(1).max(120),
  pots: z.int().min(0).max(2),
  serves: z.int().min(1).max(8),
  ahead: z.int().positive().max(24).optional(),
  steps: z.int().min(1).max(6),
  needs: z.array(slotSchema).min(1).max(8),
  'may-add': z.array(slotSchema.omit({ as: true, instead: true })).default([]),
});

export const dishesFile = z.strictObject({
  'always-there': z.array(z.string()),
  dishes: z.record(z.string().regex(/^[a-z][a-z-]*$/), dishSchema),
});

/** One way to fill a place in a dish. `grams`: raw, for the whole dish. */
export interface Option {
  readonly food: string;
  readonly grams: number;
}

/** One place in a dish: the first option is the dish as it is known, the others stand in for it. */
export interface Slot {
  /** The name under which the steps speak of what was chosen; null when nothing may stand in. */
  readonly as: string | null;
  readonly amount: number;
  readonly measure: Measure;
  readonly options: readonly Option[];
}

export interface Dish {
  readonly id: string;
  readonly minutes: number;
  readonly pots: number;
  /** Women fed by the whole dish. */
  readonly serves: number;
  /** Hours to begin before, whatever is used. */
  readonly aheadHours: number;
  readonly steps: number;
  readonly needs: readonly Slot[];
  readonly mayAdd: readonly Slot[];
}

export interface Dishes {
  readonly byId: ReadonlyMap<string, Dish>;
  /** Foods taken to be in every house. */
  readonly alwaysThere: readonly string[];
}

/**
 * Reads `flows/dishes.yaml` against the foods.
 * @throws ContentError with a sentence for each thing wrong: an unknown food, a portion with no weight, a place without a name
 */
export function openDishes(data: unknown, foods: Foods, file = 'flows/dishes.yaml'): Dishes {
  const read = dishesFile.safeParse(data);
  if (!read.success) {
    throw new ContentError(
      read.error.issues.map((issue) => `${file}: ${issue.path.join('.')}: ${issue.message}`),
    );
  }
  const problems = dishProblems(read.data, foods).map(
    ({ path, problem }) => `${file}: ${path.join('.')}: ${problem}`,
  );
  if (problems.length > 0) throw new ContentError(problems);
  const slot = (row: z.infer<typeof slotSchema>): Slot => ({
    as: row.as ?? null,
    amount: row.amount,
    measure: row.measure,
    options: [
      { food: row.food, grams: slotGrams(row, foods) ?? 0 },
      ...Object.entries(row.instead ?? {}).map(([food, grams]) => ({ food, grams })),
    ],
  });
  const byId = new Map(
    Object.entries(read.data.dishes).map(([id, row]) => [
      id,
      {
        id,
        minutes: row.minutes,
        pots: row.pots,
        serves: row.serves,
        aheadHours: row.ahead ?? 0,
        steps: row.steps,
        needs: row.needs.map(slot),
        mayAdd: row['may-add'].map(slot),
      },
    ]),
  );
  return { byId, alwaysThere: read.data['always-there'] };
}

interface Problem {
  readonly path: readonly (string | number)[];
  readonly problem: string;
}

/** What a well-formed dishes file says that the foods do not bear out, each with where it stands. */
export function dishProblems(file: z.infer<typeof dishesFile>, foods: Foods): readonly Problem[] {
  const problems: Problem[] = [];
  file['always-there'].forEach((food, at) => {
    if (!foods.has(food)) problems.push({ path: ['always-there', at], problem: unknownFood(food) });
  });
  for (const [id, dish] of Object.entries(file.dishes)) {
    for (const part of ['needs', 'may-add'] as const) {
      dish[part].forEach((row: z.infer<typeof slotSchema>, at) => {
        const path = ['dishes', id, part, at];
        if (!foods.has(row.food)) problems.push({ path: [...path, 'food'], problem: unknownFood(row.food) });
        else if (slotGrams(row, foods) === undefined) {
          problems.push({
            path: [...path, 'measure'],
            problem: `a portion with no weight: ${row.food} has no raw ${row.measure}; add it to foods.yaml or give grams here`,
          });
        }
        for (const food of Object.keys(row.instead ?? {})) {
          if (!foods.has(food))
            problems.push({ path: [...path, 'instead', food], problem: unknownFood(food) });
        }
        if (row.instead !== undefined && row.as === undefined && !file['always-there'].includes(row.food)) {
          problems.push({
            path,
            problem: 'something may stand in here, so the steps need a name for it: add "as"',
          });
        }
      });
    }
  }
  return problems;
}

const unknownFood = (food: string): string => `no food named "${food}" in foods.yaml`;

function slotGrams(row: z.infer<typeof slotSchema>, foods: Foods): number | undefined {
  if (row.grams !== undefined) return row.grams;
  const one = foods.get(row.food)?.raw[row.measure];
  return one === undefined ? undefined : one * row.amount;
}
