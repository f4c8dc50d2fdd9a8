import { z } from 'zod';
import { ContentError } from '../../errors.ts';
import type { Nutrient } from './nutrients.ts';

const from = z.enum(['checked', 'memory']);
const kcal = z.strictObject({ kcal: z.number().positive().max(5000), source: z.string().min(4), from });
const grams = z.strictObject({ grams: z.number().positive().max(200), source: z.string().min(4), from });
const other = z
  .strictObject({
    low: z.number().positive(),
    high: z.number().positive(),
    unit: z.enum(['g', 'mg', 'ug']),
    source: z.string().min(4),
    from,
  })
  .refine(({ low, high }) => low <= high, { message: 'low is above high' });

export const otherNutrients = [
  'calcium',
  'iron',
  'zinc',
  'folate',
  'vitaminA',
  'vitaminC',
  'vitaminB12',
  'choline',
  'ala',
] as const satisfies readonly Nutrient[];
export type OtherNutrient = (typeof otherNutrients)[number];

export const requirementsFile = z.strictObject({
  energy: z.strictObject({
    base: z.strictObject({ sedentary: kcal, moderate: kcal }),
    addition: z.strictObject({ '0-6': kcal, '7-12': kcal }),
  }),
  protein: z.strictObject({ base: grams, addition: z.strictObject({ '0-6': grams, '7-12': grams }) }),
  others: z.record(z.enum(otherNutrients), other),
});

/** The table of requirements that the programme set. */
export type Requirements = z.infer<typeof requirementsFile>;

/**
 * Reads `flows/requirements.yaml`.
 * @throws ContentError with a sentence for each thing wrong
 */
export function openRequirements(data: unknown, file = 'flows/requirements.yaml'): Requirements {
  const read = requirementsFile.safeParse(data);
  if (read.success) return read.data;
  throw new ContentError(
    read.error.issues.map((issue) => `${file}: ${issue.path.join('.')}: ${issue.message}`),
  );
}

/** Months after birth in the words of the tables. */
export type Stage = '0-6' | '7-12';

/** What decides how much milk she makes. `babies` 1-4 at the breast. */
export interface Feeding {
  readonly stage: Stage;
  readonly feeding: 'exclusive' | 'partial';
  readonly babies: number;
}

/** A figure with its uncertainty, in one unit. low <= likely <= high. */
export interface Estimated {
  readonly low: number;
  readonly likely: number;
  readonly high: number;
}

/** What one mother needs in a day. Energy in kcal, protein in grams, the others in the unit of their figures. */
export interface Requirement {
  readonly energyKcal: Estimated;
  readonly proteinG: Estimated;
  readonly others: Readonly<Record<OtherNutrient, { readonly low: number; readonly high: number }>>;
  /** What was worked out here and stands in no table; `from-memory`: at least one figure used was not seen in its source. */
  readonly flags: readonly ('partial-feeding-worked-out' | 'several-babies-worked-out' | 'from-memory')[];
}

/**
 * The stage of a baby's age in days, or null after the first year, for which the tables used have no figure.
 * Six months are 183 days, a year 365.
 */
export function stageAt(babyAgeDays: number): Stage | null {
  if (!Number.isFinite(babyAgeDays) || babyAgeDays < 0) throw new RangeError('age in days must be 0 or more');
  if (babyAgeDays < 183) return '0-6';
  return babyAgeDays <= 365 ? '7-12' : null;
}

/**
 * Her needs in a day. Her work is not asked: energy runs from the sedentary to the moderate base. With partial feeding the addition runs
 * from half to the whole (common practice, no source). With several babies it is multiplied, down to three quarters of that, because
 * milk for two is not always all hers (worked out here; no table gives it).
 * @throws RangeError when `babies` is not 1-4
 */
export function requirementFor(table: Requirements, { stage, feeding, babies }: Feeding): Requirement {
  if (!Number.isInteger(babies) || babies < 1 || babies > 4) throw new RangeError('babies must be 1 to 4');
  const least = (feeding === 'partial' ? 0.5 : 1) * (babies === 1 ? 1 : 0.75 * babies);
  const most = babies;
  const { base, addition } = table.energy;
  const energyAdded = addition[stage].kcal;
  const proteinAdded = table.protein.addition[stage].grams;
  const energyLow = base.sedentary.kcal + energyAdded * least;
  const energyHigh = base.moderate.kcal + energyAdded * most;
  const proteinLow = table.protein.base.grams + proteinAdded * least;
  const proteinHigh = table.protein.base.grams + proteinAdded * most;
  const used = [
    base.sedentary,
    base.moderate,
    addition[stage],
    table.protein.base,
    table.protein.addition[stage],
  ];
  const flags: Requirement['flags'][number][] = [];
  if (feeding === 'partial') flags.push('partial-feeding-worked-out');
  if (babies > 1) flags.push('several-babies-worked-out');
  if ([...used, ...Object.values(table.others)].some((figure) => figure.from === 'memory'))
    flags.push('from-memory');
  return {
    energyKcal: { low: energyLow, likely: (energyLow + energyHigh) / 2, high: energyHigh },
    proteinG: { low: proteinLow, likely: (proteinLow + proteinHigh) / 2, high: proteinHigh },
    others: table.others,
    flags,
  };
}
