import { moveCheckIn, planCheckIn } from './check-in-plan.ts';
import { shortDay } from '../counsel/mothers-answers.ts';
import { change, changeMother, type Draft, dropDues, note, say, setDue } from './draft.ts';
import { clockTime } from './enrol.ts';
import type { RhythmWish } from './line.ts';
import { isPaused } from './pause.ts';
import { isRoutine, planRoutine } from './routine-plan.ts';
import { tipMinuteOfDay } from './tip-plan.ts';
import { withinWritingHours } from './writing-hours.ts';

/** Longest rest by a number of days; who wants more asks for a rest until she says so. Common practice, no source. */
const longestRestDays = 92;

/**
 * What a mother, or a counsellor for her, wishes of our rhythm: done at once, and told in the words of what will happen now.
 * Dangers, alerts and follow-ups know nothing of it.
 * @param by 'mother', or a counsellor's id
 */
export function grantWish(draft: Draft, index: number, wish: RhythmWish, by = 'mother'): void {
  const mother = draft.state.mothers[index];
  if (mother === undefined || draft.state.standing !== 'enrolled') return;
  note(draft, 'rhythm', { mother: index, wish, by });
  switch (wish.kind) {
    case 'hour':
      changeMother(draft, index, { checkInMinuteOfDay: wish.minuteOfDay });
      moveToHerHour(draft, index);
      sayHour(draft, index, wish.minuteOfDay);
      return;
    case 'rest':
      rest(draft, index, wish.days);
      return;
    case 'resume':
      changeMother(draft, index, { paused: null });
      planCheckIn(draft, index, true);
      sayNext(draft, index);
      return;
    case 'tips':
      change(draft, { noTips: !wish.wanted });
      planRoutine(draft);
      say(draft, wish.wanted ? 'rhythm.tips' : 'rhythm.no-tips');
      return;
    case 'way':
      changeMother(draft, index, { askedBy: wish.by });
      say(draft, wish.by === 'call' ? 'rhythm.by-call' : 'rhythm.by-text');
      return;
    case 'zone':
      change(draft, { zone: wish.zone });
      for (const i of draft.state.mothers.keys()) moveToHerHour(draft, i);
      return;
    default:
      wish satisfies never;
  }
}

function moveToHerHour(draft: Draft, index: number): void {
  moveCheckIn(draft, index);
  const { state, world } = draft;
  const mother = state.mothers[index];
  const tip = state.dues.find((d) => d.kind === 'tip' && d.mother === index);
  if (mother !== undefined && tip?.kind === 'tip') {
    const { calendar, now } = world;
    const day = calendar.day(Math.max(tip.wantedAt ?? tip.at, now));
    const same = calendar.instant(day, tipMinuteOfDay(mother, world));
    const wantedAt =
      same > now ? same : calendar.instant(calendar.plusDays(day, 1), tipMinuteOfDay(mother, world));
    setDue(draft, { ...tip, wantedAt });
  }
  planRoutine(draft);
}

/** So many of her check-ins are left out, today's too where its hour is still to come; or all until she says so. */
function rest(draft: Draft, index: number, days: number | null): void {
  const { state, world } = draft;
  const { calendar, now } = world;
  const mother = state.mothers[index];
  if (mother === undefined) return;
  const today = calendar.day(now);
  const hers = calendar.instant(today, withinWritingHours(mother.checkInMinuteOfDay, world));
  const left = Math.min(days ?? 0, longestRestDays) + (hers > now ? 0 : 1);
  const untilDay = days === null ? null : calendar.plusDays(today, left);
  changeMother(draft, index, { paused: { at: now, untilDay }, missed: 0 });
  if (untilDay === null) {
    dropDues(draft, (d) => isRoutine(d) && d.mother === index);
    say(draft, 'rhythm.resting');
    return;
  }
  // What she ate yesterday is no question for the day on which she comes back: it is asked again after a check-in.
  dropDues(draft, (d) => d.kind === 'diet' && d.mother === index);
  // She may have rested until she said so before: then nothing is planned yet.
  if (!state.dues.some((d) => d.kind === 'check-in' && d.mother === index)) planCheckIn(draft, index);
  planRoutine(draft);
  say(draft, 'rhythm.resting-until', { day: shortDay(untilDay) });
}

function sayHour(draft: Draft, index: number, asked: number): void {
  const { world } = draft;
  const { quietUntilMinuteOfDay: from, quietFromMinuteOfDay: until } = world.programme;
  const minute = withinWritingHours(asked, world);
  if (minute === asked) say(draft, 'rhythm.hour', { time: clockTime(minute) });
  else
    say(draft, 'rhythm.hour-nearest', {
      time: clockTime(minute),
      from: clockTime(from),
      until: clockTime(until),
    });
  const mother = draft.state.mothers[index];
  const untilDay = mother?.paused?.untilDay;
  if (mother !== undefined && isPaused(mother, world.calendar.day(world.now)) && untilDay === null)
    say(draft, 'rhythm.resting');
}

function sayNext(draft: Draft, index: number): void {
  const { calendar } = draft.world;
  const at = draft.state.dues.find((d) => d.kind === 'check-in' && d.mother === index)?.at;
  if (at === undefined) {
    say(draft, 'quiet.thanks');
    return;
  }
  say(draft, 'rhythm.next', { day: shortDay(calendar.day(at)), time: clockTime(calendar.minuteOfDay(at)) });
}
