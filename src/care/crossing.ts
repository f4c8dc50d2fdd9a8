import type { Reason } from './reason.ts';
import { scaleNoiseGrams, type Weighing } from './weighings.ts';

const source = 'NICE NG75 (one, two or three centile spaces by birth centile), as z-scores';

/** A fall is looked for from this day on, and over at least this many days. Source: NICE NG75 (4 weeks: common practice). */
const fromDay = 14;
const leastDays = 28;

/**
 * How far a baby may fall from the highest z since day 14: 0.67 when born below z -1.34, 2.0 when born above +1.34, else 1.33.
 * Birth z not known: 1.33. Source: NICE NG75, centile spaces as z-scores.
 */
export function allowedFall(birthZ: number | undefined): number {
  if (birthZ === undefined) return 1.33;
  if (birthZ < -1.34) return 0.67;
  return birthZ > 1.34 ? 2 : 1.33;
}

/**
 * Crossing down the centiles over four weeks or longer, with 100 g given in the baby's favour: C; with z below -2: B.
 * @param zOf z-score of a weight at its day; undefined outside the tables
 * Source: NICE NG75.
 */
export function crossingReason(
  weights: readonly Weighing[],
  zOf: (weight: Weighing) => number | undefined,
  birthZ: number | undefined,
): Reason<'crossing-down'> | undefined {
  const last = weights.at(-1);
  if (last === undefined) return undefined;
  const now = zOf(last);
  const favoured = zOf({ day: last.day, g: last.g + scaleNoiseGrams });
  if (now === undefined || favoured === undefined) return undefined;
  const before = weights
    .filter((weight) => weight.day >= fromDay && last.day - weight.day >= leastDays)
    .map(zOf)
    .filter((z) => z !== undefined);
  if (before.length === 0) return undefined;
  const highest = Math.max(...before);
  const allowed = allowedFall(birthZ);
  if (highest - favoured < allowed) return undefined;
  const values = { fallZ: Math.round((highest - now) * 100) / 100, allowedZ: allowed };
  return { code: 'crossing-down', tier: now < -2 ? 'B' : 'C', values, source };
}
