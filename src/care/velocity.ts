import type { Sex } from './weight-for-age.ts';
import type { IncrementRow } from './who/increment-row.ts';
import { oneMonthIncrements } from './who/weight-increments-1-month.ts';
import { twoMonthIncrements } from './who/weight-increments-2-month.ts';

/** Grams added before the Box-Cox step so that gains near zero can be placed. Source: WHO growth velocity, 2009. */
const deltaGrams = { oneMonth: 400, twoMonth: 600 } as const;

/** A gain over more days than this is placed in the two-month table. */
const oneMonthMostDays = 45;

/**
 * P5 of the one-month weight increments in grams per day, for the interval that holds `day` (0 to 12 months).
 * @returns undefined outside the table
 * Source: WHO Child Growth Standards, growth velocity, 2009.
 */
export function slowestUsualGramsPerDay(sex: Sex, day: number): number | undefined {
  const row = oneMonthIncrements[sex].find(([start, end]) => day >= start && day < end);
  return row === undefined ? undefined : row[5] / (row[1] - row[0]);
}

/** Gain in grams over one interval at a z-score: M' (1 + L S z)^(1/L) - delta. Source: WHO growth velocity, 2009. */
export function incrementAtZ(row: IncrementRow, z: number, table: keyof typeof deltaGrams): number {
  const [, , l, medianPlusDelta, s] = row;
  return medianPlusDelta * (1 + l * s * z) ** (1 / l) - deltaGrams[table];
}

/**
 * z-score of a gain in g/day among babies of the same sex and age, by the interval that holds the middle day; gains over more
 * than 45 days by the two-month table. A gain beyond what the formula can place counts as the end of it.
 * @returns undefined from 12 months on
 * Source: WHO Child Growth Standards, growth velocity, 2009.
 */
export function velocityZ(sex: Sex, gramsPerDay: number, days: number, middle: number): number | undefined {
  const table = days > oneMonthMostDays ? 'twoMonth' : 'oneMonth';
  const rows = (table === 'oneMonth' ? oneMonthIncrements : twoMonthIncrements)[sex];
  const holding = rows.filter(([start, end]) => middle >= start && middle < end);
  const centred = (row: IncrementRow): number => Math.abs((row[0] + row[1]) / 2 - middle);
  const row = holding.reduce<IncrementRow | undefined>(
    (best, next) => (best === undefined || centred(next) < centred(best) ? next : best),
    undefined,
  );
  if (row === undefined) return undefined;
  const [start, end, l, medianPlusDelta, s] = row;
  const shifted = Math.max(gramsPerDay * (end - start) + deltaGrams[table], 1);
  return ((shifted / medianPlusDelta) ** l - 1) / (l * s);
}
