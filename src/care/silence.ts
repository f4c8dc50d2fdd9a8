import { daysInMonth } from './age.ts';
import type { Reason } from './reason.ts';
import type { Tier } from './signs.ts';

/**
 * Missed check-ins in a row, by the baby's age: under 14 days two C, three B; under 3 months three C; later four C. With an A or
 * B open, one missed follow-up is B.
 * Source: common practice, no source.
 */
export function silenceReason(
  missedInARow: number,
  ageDays: number,
  openTier: Tier = 'none',
): Reason<'silent'> | undefined {
  const tier = silenceTier(missedInARow, ageDays, openTier);
  if (tier === 'none') return undefined;
  return {
    code: 'silent',
    tier,
    values: { missed: missedInARow, ageDays },
    source: 'common practice, no source',
  };
}

function silenceTier(missed: number, ageDays: number, openTier: Tier): Tier {
  if (missed >= 1 && (openTier === 'A' || openTier === 'B')) return 'B';
  if (ageDays < 14) {
    if (missed >= 3) return 'B';
    return missed >= 2 ? 'C' : 'none';
  }
  return missed >= (ageDays < 3 * daysInMonth ? 3 : 4) ? 'C' : 'none';
}
