import { ageInDays } from '../care/age.ts';
import { daysToNextCheckIn } from '../care/check-in-rhythm.ts';
import { type Draft, minuteMs, setDue } from './draft.ts';
import { isPaused } from './pause.ts';
import { hasConcern, planRoutine } from './routine-plan.ts';
import { withinWritingHours } from './writing-hours.ts';

/** When she is asked next as it was planned, epoch milliseconds; planned now where it was not. Undefined: not by ourselves. */
export function plannedCheckIn(draft: Draft, index: number): number | undefined {
  return checkInDue(draft, index) ?? planCheckIn(draft, index);
}

/**
 * Sets when the mother is asked next and gives that instant, epoch milliseconds. Her hour, moved into the hours in which the
 * programme may write; the first time the same day when her hour is still to come.
 * @param soon she asked to be asked again: at her next hour, as the first time, however seldom she is asked by now
 * @returns undefined when she is not asked until she says so, or never again
 */
export function planCheckIn(draft: Draft, index: number, soon = false): number | undefined {
  const { world, state } = draft;
  const { calendar, now } = world;
  const mother = state.mothers[index];
  const baby = mother?.babies[0];
  if (mother === undefined || baby === undefined)
    throw new Error('a check-in is planned for a mother who is not on the line');
  const today = calendar.day(now);
  if (mother.leftInPeace === true) return undefined;
  if (isPaused(mother, today) && mother.paused?.untilDay === null) return undefined;
  const minute = withinWritingHours(mother.checkInMinuteOfDay, world);
  const isAskedToday = mother.askedOn === today || mother.checkIns.some((c) => c.day === today);
  const asked = soon
    ? isAskedToday
    : mother.checkIns.length > 0 || mother.askedOn !== undefined || checkInDue(draft, index) !== undefined;
  const sameDay = calendar.instant(today, minute);
  const days = daysToNextCheckIn(ageInDays(baby.bornOn, today), hasConcern(state, index, world));
  const at =
    !asked && sameDay > now + 30 * minuteMs
      ? sameDay
      : calendar.instant(calendar.plusDays(today, asked && !soon ? days : 1), minute);
  setDue(draft, { kind: 'check-in', at, wantedAt: at, mother: index });
  planRoutine(draft);
  return checkInDue(draft, index);
}

/** Her check-in moves to another time of day, on the day on which it is wanted, or the next when that time is over. */
export function moveCheckIn(draft: Draft, index: number): void {
  const { world, state } = draft;
  const { calendar, now } = world;
  const mother = state.mothers[index];
  const due = state.dues.find((d) => d.kind === 'check-in' && d.mother === index);
  if (mother === undefined || due?.kind !== 'check-in') return;
  const minute = withinWritingHours(mother.checkInMinuteOfDay, world);
  const day = calendar.day(Math.max(due.wantedAt ?? due.at, now));
  const same = calendar.instant(day, minute);
  const at = same > now ? same : calendar.instant(calendar.plusDays(day, 1), minute);
  setDue(draft, { kind: 'check-in', at, wantedAt: at, mother: index });
}

function checkInDue(draft: Draft, index: number): number | undefined {
  return draft.state.dues.find((d) => d.kind === 'check-in' && d.mother === index)?.at;
}
