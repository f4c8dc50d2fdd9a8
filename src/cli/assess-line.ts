import { z } from 'zod';
import type { AssessCase } from '../care/assess.ts';
import { babySignCodes, motherSignCodes, type Sign } from '../care/signs.ts';
import { BadLine } from './json-lines.ts';
import { misspeltField } from './misspelt-field.ts';

const count = z.number().min(0).max(60);
const told = z.union([count, z.object({ min: count, max: count })], {
  error: 'expected a number from 0 to 60, or {min, max}',
});
const sexes = {
  girl: 'girl',
  female: 'girl',
  f: 'girl',
  boy: 'boy',
  male: 'boy',
  m: 'boy',
  unknown: null,
} as const;

/**
 * One case as a line of JSON. Null is the same as absent, but for feeds, wet nappies and stools: null there says that it was
 * asked and is not known. A part of a day is let through: 0.5 is 12 hours old, later parts are rounded down. Weights out of a baby's range are let through, to be named as doubtful and not used.
 */
const caseLine = z.object({
  id: z.union([z.string().min(1), z.number()], { error: 'expected text or a number' }),
  age_days: z.number().min(0).max(731),
  sex: z
    .string()
    .transform((text) => text.toLowerCase())
    .pipe(z.enum(['girl', 'boy', 'female', 'male', 'f', 'm', 'unknown']))
    .nullish(),
  birth_weight_g: z.number().positive().nullish(),
  gestation_weeks: z.number().min(20).max(45).nullish(),
  weights: z.array(z.object({ day: z.number().min(0), g: z.number().positive() })).nullish(),
  feeds_24h: told.nullish(),
  wet_nappies_24h: told.nullish(),
  stools_24h: told.nullish(),
  longest_gap_h: z.number().min(0).max(168).nullish(),
  pain: z.enum(['none', 'mild', 'severe']).nullish(),
  soft_after_feed: z.enum(['yes', 'no', 'unsure']).nullish(),
  baby_signs: z.array(z.enum(babySignCodes)).nullish(),
  mother_signs: z.array(z.enum(motherSignCodes)).nullish(),
});

/** The case's id as it was written, and the case in the words of the care rules. */
export interface CaseLine {
  readonly id: string | number;
  readonly known: AssessCase;
}

/**
 * Reads one parsed line.
 * @throws BadLine naming every field that is wrong or misspelt and what it should be, never what was written in it
 */
export function readCaseLine(line: unknown): CaseLine {
  const read = caseLine.safeParse(line);
  if (!read.success) throw new BadLine(problems(read.error));
  const slip = misspelt(line);
  if (slip !== undefined) throw new BadLine(slip);
  const told = read.data;
  const baby = [...new Set(told.baby_signs ?? [])].map((code): Sign => ({ code, who: 'baby' }));
  const mother = [...new Set(told.mother_signs ?? [])].map((code): Sign => ({ code, who: 'mother' }));
  return {
    id: told.id,
    known: {
      ageDays: Math.floor(told.age_days),
      ...(isWithinFirstDay(told.age_days) ? { ageHours: told.age_days * 24 } : {}),
      sex: told.sex === null || told.sex === undefined ? null : sexes[told.sex],
      birthWeightGrams: told.birth_weight_g,
      gestationWeeks: told.gestation_weeks,
      weights: (told.weights ?? []).map(({ day, g }) => ({ day: Math.floor(day), g })),
      feeds24h: told.feeds_24h,
      wetNappies24h: told.wet_nappies_24h,
      stools24h: told.stools_24h,
      longestGapHours: told.longest_gap_h,
      pain: told.pain,
      softAfterFeed: told.soft_after_feed,
      signs: [...baby, ...mother],
    },
  };
}

/** A field named almost like one of ours would be overlooked, and a sign in it with it. Others may be there: they are not ours. */
function misspelt(line: unknown): string | undefined {
  const known = Object.keys(caseLine.shape);
  for (const name of Object.keys(line ?? {})) {
    const near = misspeltField(name, known);
    if (near !== undefined) return `${name}: there is no such field; did you mean ${near}?`;
  }
  return undefined;
}

/** A whole 0 says only that the first day is not over; a part of it says the hours. */
function isWithinFirstDay(ageDays: number): boolean {
  return ageDays > 0 && ageDays < 1;
}

function problems(error: z.ZodError): string {
  const found = error.issues.map(({ path, message }) => {
    const place = path.map((part, index) =>
      typeof part === 'number' ? `[${part}]` : `${index === 0 ? '' : '.'}${String(part)}`,
    );
    return path.length === 0 ? 'each line must be one JSON object' : `${place.join('')}: ${message}`;
  });
  return found.join('; ');
}
