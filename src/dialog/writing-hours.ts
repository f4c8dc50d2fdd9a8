import type { World } from './world.ts';
import type { WritingRules } from './spread-matters.ts';

/** Routine texts a day and phone, unless the programme sets another number. Common practice, no source. */
const usualTextsADay = 3;

/** When this programme may write to this phone of its own accord. */
export function writingRules({ calendar, programme }: World): WritingRules {
  return {
    calendar,
    fromMinuteOfDay: programme.quietUntilMinuteOfDay,
    untilMinuteOfDay: programme.quietFromMinuteOfDay,
    mostADay: programme.textsADay ?? usualTextsADay,
    festivalDays: programme.festivalDays ?? noDays,
  };
}

const noDays: ReadonlySet<string> = new Set();

/** Whether routine may be written at this instant: in the writing hours of her clock, on no festival day. */
export function isWritingTime(at: number, world: World): boolean {
  const { calendar, fromMinuteOfDay, untilMinuteOfDay, festivalDays } = writingRules(world);
  const minute = calendar.minuteOfDay(at);
  return minute >= fromMinuteOfDay && minute < untilMinuteOfDay && !festivalDays.has(calendar.day(at));
}

/** The instant itself, or the next that lies in the writing hours, festival or not; epoch milliseconds. */
export function writingTime(at: number, { calendar, programme }: World): number {
  const minute = calendar.minuteOfDay(at);
  const day = calendar.day(at);
  if (minute < programme.quietUntilMinuteOfDay) return calendar.instant(day, programme.quietUntilMinuteOfDay);
  if (minute < programme.quietFromMinuteOfDay) return at;
  return calendar.instant(calendar.plusDays(day, 1), programme.quietUntilMinuteOfDay);
}

/** When the writing hours of her day end, epoch milliseconds: what has not gone out by then must not wake her. */
export function writingEnds(at: number, { calendar, programme }: World): number {
  return calendar.instant(calendar.day(at), programme.quietFromMinuteOfDay);
}

/** A time of day that the programme may write at, nearest to the one asked for: minutes after midnight. */
export function withinWritingHours(minuteOfDay: number, { programme }: Pick<World, 'programme'>): number {
  return Math.min(
    Math.max(minuteOfDay, programme.quietUntilMinuteOfDay),
    programme.quietFromMinuteOfDay - 30,
  );
}
