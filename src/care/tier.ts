import type { Tier } from './signs.ts';

/** From calm to urgent, for comparing. A go to care now, B a person speaks with her today, C within two days. */
const tiersRising = ['none', 'C', 'B', 'A'] as const satisfies readonly Tier[];

/** 0 for none, 3 for A: a bigger number is more urgent. */
export function urgency(tier: Tier): number {
  return tiersRising.indexOf(tier);
}

/** The most urgent of the given tiers; none for an empty list. */
export function mostUrgent(tiers: readonly Tier[]): Tier {
  return tiers.reduce<Tier>((worst, tier) => (urgency(tier) > urgency(worst) ? tier : worst), 'none');
}

/**
 * One step more urgent: C to B, B to A. None stays none and A stays A.
 * Source: common practice for low birth weight babies, no source.
 */
export function oneStepMoreUrgent(tier: Tier): Tier {
  if (tier === 'C') return 'B';
  return tier === 'B' ? 'A' : tier;
}
