/**
 * Whether a weight is to be asked for: at 3-5 days, 10-14 days, then weekly to 6 weeks, every two weeks to 3 months, monthly
 * after.
 * @param askedAtDays the baby's age in days when it was last asked for; null for never
 * Source: common practice, no source.
 */
export function isWeighingDue(ageDays: number, askedAtDays: number | null): boolean {
  if (ageDays < 3) return false;
  if (askedAtDays === null) return true;
  if (askedAtDays < 10) return ageDays >= 10;
  const gap = ageDays <= 42 ? 7 : ageDays <= 91 ? 14 : 30;
  return ageDays - askedAtDays >= gap;
}
