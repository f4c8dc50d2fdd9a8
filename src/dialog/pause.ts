import type { Mother } from './line.ts';

/** Whether she rests from check-ins and tips on a day of her clock, YYYY-MM-DD. */
export function isPaused({ paused }: Pick<Mother, 'paused'>, day: string): boolean {
  if (paused === undefined || paused === null) return false;
  return paused.untilDay === null || day < paused.untilDay;
}
