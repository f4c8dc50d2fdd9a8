import { weightForAgeBoys } from './who/weight-for-age-boys.ts';
import { weightForAgeGirls } from './who/weight-for-age-girls.ts';

export type Sex = 'girl' | 'boy';

/** L (skew), M (median, grams) and S (spread) of weight at one age. */
export interface Lms {
  readonly l: number;
  readonly medianGrams: number;
  readonly s: number;
}

/** The last day of the tables: 24 months. */
const lastTableDay = 730;

/**
 * L, M and S of weight at an age in days from 0 to 730; between two days by straight line.
 * @returns undefined outside the table
 * Source: WHO Child Growth Standards, 2006, daily weight-for-age tables.
 */
export function weightForAgeLms(sex: Sex, ageDays: number): Lms | undefined {
  if (!(ageDays >= 0 && ageDays <= lastTableDay + 1)) return undefined;
  const table = sex === 'boy' ? weightForAgeBoys : weightForAgeGirls;
  const day = Math.min(Math.floor(ageDays), lastTableDay);
  const next = Math.min(day + 1, lastTableDay);
  const part = Math.min(ageDays, lastTableDay) - day;
  const between = (column: 0 | 1 | 2): number => {
    const low = table[3 * day + column] ?? Number.NaN;
    return low + part * ((table[3 * next + column] ?? Number.NaN) - low);
  };
  return { l: between(0), medianGrams: between(1) * 1000, s: between(2) };
}

/** The weight in grams at a z-score within ±3, by the inverse of the LMS formula. Source: WHO, 2006. */
export function gramsAtZ({ l, medianGrams, s }: Lms, z: number): number {
  return Math.abs(l) < 1e-9 ? medianGrams * Math.exp(s * z) : medianGrams * (1 + l * s * z) ** (1 / l);
}

/**
 * z-score of a weight in grams under given L, M and S. Beyond ±3 the distance to the third SD is measured in steps of the
 * gap between the second and third SD, as WHO does, so that tails are not stretched.
 * Source: WHO Child Growth Standards, Methods and development, 2006.
 */
export function zFromLms(lms: Lms, grams: number): number {
  const { l, medianGrams, s } = lms;
  const ratio = grams / medianGrams;
  const z = Math.abs(l) < 1e-9 ? Math.log(ratio) / s : (ratio ** l - 1) / (l * s);
  if (z > 3) return 3 + (grams - gramsAtZ(lms, 3)) / (gramsAtZ(lms, 3) - gramsAtZ(lms, 2));
  if (z < -3) return -3 + (grams - gramsAtZ(lms, -3)) / (gramsAtZ(lms, -2) - gramsAtZ(lms, -3));
  return z;
}

/**
 * Weight-for-age z-score at an age in days, 0 to 730 (corrected age for babies born early).
 * @returns undefined outside the table
 * Source: WHO Child Growth Standards, 2006.
 */
export function weightForAgeZ(sex: Sex, ageDays: number, grams: number): number | undefined {
  const lms = weightForAgeLms(sex, ageDays);
  return lms === undefined ? undefined : zFromLms(lms, grams);
}

/**
 * Centile (0 to 100) of a z-score on the normal curve.
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, 7.1.26; error under 0.00002 of a centile.
 */
export function centileOfZ(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const tail =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) *
    Math.exp(-x * x);
  const below = z < 0 ? tail / 2 : 1 - tail / 2;
  return below * 100;
}
