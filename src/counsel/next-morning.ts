import type { Draft } from '../dialog/draft.ts';

/** 09:00 on the next day of her clock, epoch milliseconds. */
export function nextMorning(draft: Pick<Draft, 'world'>): number {
  const { calendar, now } = draft.world;
  return calendar.instant(calendar.plusDays(calendar.day(now), 1), 9 * 60);
}
