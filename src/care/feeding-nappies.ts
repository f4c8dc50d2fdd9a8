import { dayOfLife } from './age.ts';
import type { FeedingAnswers } from './feeding-answers.ts';
import { fourWeeksDays } from './feeding-amount.ts';
import type { Reason } from './reason.ts';
import { atLeastTold } from './told.ts';

const wetSource = 'WHO/UNICEF; ABM Protocol 3';
const noWetSource = 'common practice, no source';
const urineSource = 'ABM Protocol 3';
const stoolSource = 'ABM Protocol 3; NICE CG149, NG194';

/**
 * Wet nappies to expect in 24 hours: 1, 2, 3, 4, 5 on days of life 1-5, 6 from day 6.
 * Source: WHO/UNICEF; ABM Protocol 3.
 */
export function expectedWetNappies(ageDays: number): number {
  return Math.min(6, Math.max(1, dayOfLife(Math.floor(ageDays))));
}

/**
 * Too few wet nappies: one short C, two or more short B, none in 24 h from day of life 3 A. On the first day nothing is
 * missed while fewer than 24 hours are known to have passed.
 * Source: WHO/UNICEF; ABM Protocol 3; none in 24 h as A: common practice.
 */
export function wetReason(answers: FeedingAnswers): Reason<'wet-none' | 'wet-few'> | undefined {
  const wet = atLeastTold(answers.wetNappies24h);
  const { ageDays, ageHours } = answers;
  if (wet === undefined) return undefined;
  if (ageDays < 1 && ageHours !== null && ageHours !== undefined && ageHours < 24) return undefined;
  const expected = expectedWetNappies(ageDays);
  if (wet <= 0 && dayOfLife(ageDays) >= 3) {
    return { code: 'wet-none', tier: 'A', values: { wet, expected }, source: noWetSource };
  }
  if (wet >= expected) return undefined;
  const tier = expected - wet >= 2 ? 'B' : 'C';
  return { code: 'wet-few', tier, values: { wet, expected }, source: wetSource };
}

/** Dark urine or brick dust from day of life 4: B. Source: ABM Protocol 3. */
export function urineReason(answers: FeedingAnswers): Reason<'urine-dark'> | undefined {
  if (answers.darkUrine !== true || dayOfLife(answers.ageDays) < 4) return undefined;
  return { code: 'urine-dark', tier: 'B', values: { day: dayOfLife(answers.ageDays) }, source: urineSource };
}

/**
 * Stools that speak of too little milk, the gravest one only: black after day of life 5 B; none in the first 48 h B;
 * under 3 in 24 h from day of life 5 to 28 days C. None told in the 24 h before day of life 5 is read as "none since birth"
 * unless she says otherwise: the graver reading of the two.
 * Source: ABM Protocol 3; NICE CG149 and NG194.
 */
export function stoolReason(
  answers: FeedingAnswers,
): Reason<'stool-black' | 'stool-none-first-48h' | 'stools-few'> | undefined {
  const stools = atLeastTold(answers.stools24h);
  const { ageDays } = answers;
  const day = dayOfLife(ageDays);
  if (answers.blackStool === true && day > 5) {
    return { code: 'stool-black', tier: 'B', values: { day }, source: stoolSource };
  }
  const noneYet =
    answers.stoolSinceBirth === false || (stools === 0 && answers.stoolSinceBirth !== true && day < 5);
  if (noneYet && ageDays >= 2 && ageDays < 7) {
    return { code: 'stool-none-first-48h', tier: 'B', values: {}, source: stoolSource };
  }
  if (stools === undefined || stools >= 3 || day < 5 || ageDays > fourWeeksDays) return undefined;
  return { code: 'stools-few', tier: 'C', values: { stools, expected: 3 }, source: stoolSource };
}
