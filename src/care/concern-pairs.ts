import type { Reason } from './reason.ts';
import type { Tier } from './signs.ts';
import { mostUrgent } from './tier.ts';

/** Not knowing is a reason to ask, not a concern about the baby: it joins no pair. */
const noConcern: readonly string[] = ['could-not-tell', 'weight-doubtful'];
const raisedByAnother: readonly string[] = ['stools-few', 'weight-loss', 'not-regained'];

/**
 * The tier of reasons taken together: the most urgent one, and B where two of tier C of different kinds meet under 14 days,
 * or where few stools, a loss of 7 % or a birth weight not regained meets any other concern at any age.
 * Source: common practice, no source; "with another concern": ABM Protocol 3, NICE NG75.
 */
export function tierTogether(reasons: readonly Reason[], ageDays: number): Tier {
  const alone = mostUrgent(reasons.map((reason) => reason.tier));
  if (alone !== 'C') return alone;
  const kinds = new Set(
    reasons.filter((r) => r.tier === 'C' && !noConcern.includes(r.code)).map((reason) => reason.code),
  );
  if (kinds.size < 2) return alone;
  return ageDays < 14 || raisedByAnother.some((code) => kinds.has(code)) ? 'B' : alone;
}

/**
 * Few stools beside a concern of the baby's weight or a danger sign are B, and for a baby born small one step more urgent: A.
 * A low weight for age is not such a concern: it is how small babies begin, and the step has counted it.
 * Source: ABM Protocol 3 ("with another concern"); the step for low birth weight: common practice, no source.
 */
export function fewStoolsBornSmall(feeding: readonly Reason[], beside: readonly Reason[]): Tier {
  const another = beside.some(
    ({ tier, code }) => tier !== 'none' && code !== 'weight-low' && !noConcern.includes(code),
  );
  return another && feeding.some(({ code }) => code === 'stools-few') ? 'A' : 'none';
}
