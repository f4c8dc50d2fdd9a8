import type { Reason } from './reason.ts';
import { atMostTold, atLeastTold, type ToldNumber } from './told.ts';

const source = 'common practice, no source';

/** Every reason that only several days together can give, weightiest first. */
export const trendReasonCodes = ['worry-twice', 'feeds-falling', 'pain-persists', 'silent'] as const;
export type TrendReasonCode = (typeof trendReasonCodes)[number];

/** One day's check-in, as far as a trend needs it. `ageDays` is the baby's age on that day. */
export interface DayAnswers {
  readonly ageDays: number;
  readonly feeds24h?: ToldNumber;
  readonly pain?: 'none' | 'mild' | 'severe' | null | undefined;
  /** She said that something worries her, whether or not a sign was found in it. */
  readonly worried?: boolean | null | undefined;
}

/** What the check-ins of the last days say together. In any order; unknown answers neither raise nor calm. */
export function trendReasons(days: readonly DayAnswers[]): readonly Reason<TrendReasonCode>[] {
  const ordered = [...days].sort((a, b) => a.ageDays - b.ageDays);
  return [worryReason(ordered), feedsFallingReason(ordered), painReason(ordered)].filter(
    (reason) => reason !== undefined,
  );
}

/** Worry told in two check-ins within 7 days: B. Once is already a concern within two days. */
function worryReason(days: readonly DayAnswers[]): Reason<'worry-twice'> | undefined {
  const today = days.at(-1)?.ageDays ?? 0;
  const times = days.filter((day) => day.worried === true && today - day.ageDays < 7).length;
  return times < 2 ? undefined : { code: 'worry-twice', tier: 'B', values: { times }, source };
}

/** Feeds lower on each of the last three days known, within 5 days, and by 3 or more in all: C. */
function feedsFallingReason(days: readonly DayAnswers[]): Reason<'feeds-falling'> | undefined {
  const known = days.filter((day) => atLeastTold(day.feeds24h) !== undefined).slice(-3);
  const [first, second, third] = known;
  if (first === undefined || second === undefined || third === undefined) return undefined;
  if (third.ageDays !== days.at(-1)?.ageDays || third.ageDays - first.ageDays > 4) return undefined;
  const [from, middle, to] = [
    atMostTold(first.feeds24h),
    atLeastTold(second.feeds24h),
    atLeastTold(third.feeds24h),
  ];
  if (from === undefined || middle === undefined || to === undefined) return undefined;
  if (!(middle < from && to < middle && from - to >= 3)) return undefined;
  return {
    code: 'feeds-falling',
    tier: 'C',
    values: { from, to, days: third.ageDays - first.ageDays + 1 },
    source,
  };
}

/**
 * Pain in every check-in that told of pain, for 14 days or more: C, B when it is severe now.
 * Source: ABM Protocol 26, 2016 (pain over 2 weeks is persistent); the tiers are common practice.
 */
function painReason(days: readonly DayAnswers[]): Reason<'pain-persists'> | undefined {
  const told = days.filter((day) => day.pain !== null && day.pain !== undefined);
  const now = told.at(-1);
  if (now === undefined || now.pain === 'none') return undefined;
  const free = told.findLastIndex((day) => day.pain === 'none');
  const since = told[free + 1] ?? now;
  const lasted = now.ageDays - since.ageDays;
  if (lasted < 14) return undefined;
  return {
    code: 'pain-persists',
    tier: now.pain === 'severe' ? 'B' : 'C',
    values: { days: lasted },
    source: 'ABM Protocol 26, 2016; the tiers are common practice, no source',
  };
}
