import { daysToNextTip } from '../care/tips/index.ts';
import { ageInDays } from '../care/age.ts';
import { type Draft, setDue } from './draft.ts';
import type { Mother } from './line.ts';
import { withinWritingHours } from './writing-hours.ts';
import type { World } from './world.ts';

/** A tip comes at another time of day than the check-in, so many minutes later or earlier. Common practice, no source. */
const tipAfterMinutes = 300;

/** The time of day of her tips, minutes after midnight: after her check-in, or before it where the evening is too near. */
export function tipMinuteOfDay(mother: Mother, world: World): number {
  const hers = withinWritingHours(mother.checkInMinuteOfDay, world);
  const later = hers + tipAfterMinutes;
  return later < world.programme.quietFromMinuteOfDay
    ? later
    : Math.max(hers - tipAfterMinutes, world.programme.quietUntilMinuteOfDay);
}

/** The first tip comes on the day after she joined; for who joined before there were tips, tomorrow. */
export function planFirstTip(draft: Draft, index: number): void {
  const mother = draft.state.mothers[index];
  if (mother === undefined) return;
  const { calendar, now } = draft.world;
  planTipOn(draft, index, calendar.plusDays(calendar.day(now), 1), mother);
}

/** After a tip, or a week without one: the next, by her youngest baby's age. */
export function planNextTip(draft: Draft, index: number): void {
  const mother = draft.state.mothers[index];
  const born = mother?.babies[0]?.bornOn;
  if (mother === undefined || born === undefined) return;
  const { calendar, now } = draft.world;
  const today = calendar.day(now);
  planTipOn(
    draft,
    index,
    calendar.plusDays(today, daysToNextTip(Math.max(0, ageInDays(born, today)))),
    mother,
  );
}

/** A tip did not reach her: the next is told tomorrow, where it was planned for later. */
export function planTipTomorrow(draft: Draft, index: number): void {
  const { calendar, now } = draft.world;
  const mother = draft.state.mothers[index];
  const due = draft.state.dues.find((d) => d.kind === 'tip' && d.mother === index);
  const tomorrow = calendar.plusDays(calendar.day(now), 1);
  if (mother === undefined || due?.kind !== 'tip') return;
  if (calendar.day(due.wantedAt ?? due.at) > tomorrow) planTipOn(draft, index, tomorrow, mother);
}

function planTipOn(draft: Draft, index: number, day: string, mother: Mother): void {
  const { world } = draft;
  const at = world.calendar.instant(day, tipMinuteOfDay(mother, world));
  setDue(draft, { kind: 'tip', at, wantedAt: at, mother: index });
}
