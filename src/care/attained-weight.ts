import type { Reason } from './reason.ts';

const source = 'WHO Child Growth Standards, 2006';

/** Weight for age, the weight as told: z below -2 C, below -3 B. Source: WHO Child Growth Standards, 2006. */
export function attainedReason(z: number | undefined): Reason<'weight-low'> | undefined {
  if (z === undefined || z >= -2) return undefined;
  return { code: 'weight-low', tier: z < -3 ? 'B' : 'C', values: { z: Math.round(z * 100) / 100 }, source };
}
