/** A number as told: exact, or between two ends ("8 to 10"). Undefined or null: not known. */
export type ToldNumber = number | { readonly min: number; readonly max: number } | null | undefined;

/** The lower end of what was told: the cautious one where less is worse. Undefined when not known. */
export function atLeastTold(told: ToldNumber): number | undefined {
  if (told === null || told === undefined) return undefined;
  const value = typeof told === 'number' ? told : Math.min(told.min, told.max);
  return Number.isFinite(value) ? value : undefined;
}

/** The upper end of what was told: the cautious one where more is worse. Undefined when not known. */
export function atMostTold(told: ToldNumber): number | undefined {
  if (told === null || told === undefined) return undefined;
  const value = typeof told === 'number' ? told : Math.max(told.min, told.max);
  return Number.isFinite(value) ? value : undefined;
}
