import { dayOf, daysBetween, daysLater, instantOf } from './her-clock.ts';
import type { InventedLine } from './mothers.ts';

/** One routine text as it must go out: to whom, what, when. */
export interface Expected {
  readonly phone: string;
  readonly mother: number;
  readonly kind: 'check-in' | 'tip';
  readonly at: number;
}

/** What the programme of the month has set. */
export interface MonthRules {
  readonly startAt: number;
  readonly endAt: number;
  readonly fromMinuteOfDay: number;
  readonly untilMinuteOfDay: number;
  readonly mostADay: number;
  readonly festivalDays: readonly string[];
}

/** What a mother does of her own accord, and on which of her days, counted from the day on which she joins. */
export const deeds = {
  rests: { day: 8, days: 6 },
  away: { from: 5, until: 19 },
  moves: { day: 9, toMinuteOfDay: 15 * 60 + 30 },
  'no-tips': { day: 10 },
  stops: { day: 20 },
  fades: { day: 10 },
} as const;

const firstDeedOn = {
  rests: deeds.rests.day,
  away: deeds.away.from,
  moves: deeds.moves.day,
  'no-tips': deeds['no-tips'].day,
  stops: deeds.stops.day,
} as const;

/** Minutes from her hour to what she does of her own accord. */
export const deedAfterMinutes = 150;

/** Days to the next check-in by the baby's age in days: clinical reference, "Check-in rhythm" (common practice, no source). */
function daysToCheckIn(age: number, concern: boolean): number {
  if (concern || age < 14) return 1;
  if (age < 28) return 2;
  // Twice a week: three days, then four.
  if (age < 12 * 7) return age % 7 < 4 ? 3 : 4;
  return age < 183 ? 7 : 14;
}

/** Days to the next tip (README, "What she gets and when"). */
function daysToTip(age: number): number {
  if (age < 14) return 2;
  if (age < 28) return 3;
  return age < 364 ? 7 : 14;
}

/** Unanswered check-ins in a row that put her on the counsellor's list: clinical reference, "Silence" (common practice, no source). */
function missesOnList(age: number): number {
  return age < 14 ? 2 : age < 91.3 ? 3 : 4;
}

/** Tips come five hours after her hour, or before it where that would be too late. */
function tipMinute(hers: number, rules: MonthRules): number {
  return hers + 300 < rules.untilMinuteOfDay ? hers + 300 : hers - 300;
}

interface Mother {
  readonly index: number;
  readonly bornOn: string;
  minute: number;
  checkInOn: string;
  tipOn: string;
  missed: number;
  concern: boolean;
  restsUntil: string;
  isAway: boolean;
}

/**
 * What one phone must get in the month, day by day on its own clock. Written from the rules as they are told to people; it knows
 * nothing of how the line plans. Right only for phones where nothing else is written and no two times come within an hour.
 */
export function expectedOf(line: InventedLine, rules: MonthRules): readonly Expected[] {
  const { zone, manner, phone } = line;
  const joinedAt = rules.startAt + line.joinsAfterMinutes * 60_000;
  const joined = dayOf(zone, joinedAt);
  const nth = (days: number) => daysLater(joined, days);
  const mothers = line.mothers.map((of, index): Mother => {
    const minute = Math.min(Math.max(of.hour * 60, rules.fromMinuteOfDay), rules.untilMinuteOfDay - 30);
    const isToday = instantOf(zone, joined, minute) > joinedAt + 30 * 60_000;
    return {
      index,
      bornOn: daysLater(dayOf(zone, rules.startAt), -of.ageDays),
      minute,
      checkInOn: isToday ? joined : nth(1),
      tipOn: nth(1),
      missed: 0,
      concern: false,
      restsUntil: joined,
      isAway: false,
    };
  });
  const wanted: Expected[] = [];
  for (let day = joined; instantOf(zone, day, 0) < rules.endAt; day = daysLater(day, 1)) {
    if (manner === 'stops' && day > nth(deeds.stops.day)) break;
    if (!rules.festivalDays.includes(day)) {
      const items = mothers.flatMap((m) =>
        m.isAway || day < m.restsUntil ? [] : itemsOf(m, day, line, rules, nth),
      );
      // A tip gives way to check-ins for three days; what is too much for the day waits for the next.
      items.sort((a, b) =>
        a.since < b.since ? -1 : a.since > b.since ? 1 : a.rank - b.rank || a.minute - b.minute,
      );
      for (const item of items.slice(0, rules.mostADay)) {
        const at = instantOf(zone, day, item.minute);
        if (at < rules.endAt) wanted.push({ phone, mother: item.of.index, kind: item.kind, at });
        const age = daysBetween(item.of.bornOn, day);
        if (item.kind === 'tip') item.of.tipOn = daysLater(day, daysToTip(age));
        else askedOn(item.of, day, line, nth);
      }
    }
    doDeeds(mothers, day, line, nth);
  }
  return wanted;
}

function itemsOf(
  of: Mother,
  day: string,
  { manner }: InventedLine,
  rules: MonthRules,
  nth: (days: number) => string,
) {
  const deedDay = firstDeedOn[manner as keyof typeof firstDeedOn] as number | undefined;
  const items: { of: Mother; kind: Expected['kind']; since: string; rank: number; minute: number }[] = [];
  if (of.checkInOn <= day)
    items.push({ of, kind: 'check-in', since: of.checkInOn, rank: 0, minute: of.minute });
  const minute = tipMinute(of.minute, rules);
  // What she does on a day comes after her check-in; a tip that would come later still, comes under it.
  const isAfterDeed = deedDay !== undefined && day === nth(deedDay) && minute > of.minute;
  const isOver = manner === 'no-tips' && day > nth(deeds['no-tips'].day);
  if (of.tipOn <= day && !isAfterDeed && !isOver)
    items.push({ of, kind: 'tip', since: daysLater(of.tipOn, 3), rank: 2, minute });
  return items;
}

/** She was asked: when next, and whether her silence puts her on the list, which makes for daily questions from the next day. */
function askedOn(of: Mother, day: string, { manner }: InventedLine, nth: (days: number) => string): void {
  const isAnswered = manner !== 'silent' && !(manner === 'fades' && day >= nth(deeds.fades.day));
  of.checkInOn = daysLater(day, daysToCheckIn(daysBetween(of.bornOn, day), of.concern));
  of.missed = isAnswered ? 0 : of.missed + 1;
  const next = daysLater(day, 1);
  if (isAnswered || of.missed < missesOnList(daysBetween(of.bornOn, next))) return;
  of.concern = true;
  if (next < of.checkInOn) of.checkInOn = next;
}

/** What she does of her own accord, two and a half hours after her time: all that is still to come that day comes under it. */
function doDeeds(
  [of]: readonly Mother[],
  day: string,
  { manner }: InventedLine,
  nth: (days: number) => string,
): void {
  if (of === undefined) return;
  if (manner === 'rests' && day === nth(deeds.rests.day))
    of.restsUntil = daysLater(day, deeds.rests.days + 1);
  if (manner === 'away' && day === nth(deeds.away.from)) of.isAway = true;
  if (manner === 'away' && day === nth(deeds.away.until)) {
    of.isAway = false;
    of.checkInOn = daysLater(day, 1);
    of.tipOn = daysLater(day, 1);
  }
  if (manner === 'moves' && day === nth(deeds.moves.day)) {
    of.minute = deeds.moves.toMinuteOfDay;
    // Its new time has gone by today.
    if (of.tipOn <= day) of.tipOn = daysLater(day, 1);
  }
}
