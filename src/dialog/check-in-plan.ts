import { ageInDays } from '../care/age.ts';
import { daysToNextCheckIn } from '../care/check-in-rhythm.ts';
import { type Draft, minuteMs, setDue } from './draft.ts';
import type { World } from './world.ts';

/** When she is asked next as it was planned, epoch milliseconds; planned now where it was not. */
export function plannedCheckIn(draft: Draft, index: number): number {
  const planned = draft.state.dues.find((d) => d.kind === 'check-in' && d.mother === index);
  return planned?.at ?? planCheckIn(draft, index);
}

/** The instant itself, or the next at which the programme may write, epoch milliseconds. */
export function writingTime(at: number, { calendar, programme }: World): number {
  const minute = calendar.minuteOfDay(at);
  const day = calendar.day(at);
  if (minute < programme.quietUntilMinuteOfDay) return calendar.instant(day, programme.quietUntilMinuteOfDay);
  if (minute < programme.quietFromMinuteOfDay) return at;
  return calendar.instant(calendar.plusDays(day, 1), programme.quietUntilMinuteOfDay);
}

/**
 * Sets when the mother is asked next and gives that instant, epoch milliseconds. Her hour, moved into the hours in which the
 * programme may write; the first time the same day when her hour is still to come.
 */
export function planCheckIn(draft: Draft, index: number): number {
  const { world, state } = draft;
  const { calendar, programme, now } = world;
  const mother = state.mothers[index];
  const baby = mother?.babies[0];
  if (mother === undefined || baby === undefined)
    throw new Error('a check-in is planned for a mother who is not on the line');
  const today = calendar.day(now);
  const minute = Math.min(
    Math.max(mother.checkInMinuteOfDay, programme.quietUntilMinuteOfDay),
    programme.quietFromMinuteOfDay - 30,
  );
  const asked =
    mother.checkIns.length > 0 || state.dues.some((d) => d.kind === 'check-in' && d.mother === index);
  const sameDay = calendar.instant(today, minute);
  const concern = state.alerts.some((a) => a.mother === index && a.stage !== 'resolved');
  const days = daysToNextCheckIn(ageInDays(baby.bornOn, today), concern);
  const at =
    !asked && sameDay > now + 30 * minuteMs
      ? sameDay
      : calendar.instant(calendar.plusDays(today, asked ? days : 1), minute);
  setDue(draft, { kind: 'check-in', at, mother: index });
  return at;
}
