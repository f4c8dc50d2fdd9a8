import type { Counsellor, Programme, World } from '../dialog/world.ts';
import type { Calendar } from '../language/calendar.ts';
import { worksIn } from './area.ts';
import { type RotaPlan, type Weekday, weekdays } from './rota-plan.ts';

/** Who can be told of an alert, and when each of them is on duty. */
export interface Rota {
  /** In the order in which they are told. */
  readonly counsellors: readonly Counsellor[];
  /** Undefined: everybody is on duty always. */
  readonly plan: RotaPlan | undefined;
  readonly calendar: Calendar;
  /** Who said that she is off duty, and until when, epoch milliseconds. */
  readonly away: ReadonlyMap<string, number>;
}

/** The rota as it stands in a turn. */
export function rotaOf(
  world: Pick<World, 'calendar' | 'dutyCalendar' | 'away'> & {
    readonly programme: Pick<Programme, 'counsellors' | 'rota'>;
  },
): Rota {
  const { programme, away } = world;
  const calendar = world.dutyCalendar ?? world.calendar;
  return { counsellors: programme.counsellors, plan: programme.rota, calendar, away: away ?? new Map() };
}

/**
 * Who is told of an alert that climbed so many times: the first on duty twice, then the next one, then the lead, and from there
 * leads and clinical leads in turn. Only who may see the mother is told; with nobody of her area on duty it is the lead at once.
 * Who speaks her language comes first, but no alert waits for that.
 * Order of rungs: common practice, no source; each programme sets its own times.
 * @param climbed 0 when the alert was just raised
 * @returns undefined only where there is no counsellor at all
 */
export function onDuty(
  rota: Rota,
  at: number,
  climbed: number,
  language?: string,
  area?: string,
): Counsellor | undefined {
  const ready = peopleOnDuty(rota, at)
    .filter((c) => worksIn(c, area))
    .sort((a, b) => strangeness(a, language) - strangeness(b, language));
  const first = ready[0];
  if (first !== undefined && climbed <= 1) return first;
  if (first !== undefined && climbed === 2) {
    const second = ready[1];
    if (second !== undefined) return second;
  }
  const above = leadersOf(rota);
  const rung = first === undefined ? Math.floor(climbed / 2) : Math.max(0, climbed - 3);
  return above[rung % above.length];
}

/** Everybody who is on duty at an instant, in the rota's order. Leads only when the plan gives them a shift. */
export function peopleOnDuty(rota: Rota, at: number): readonly Counsellor[] {
  const { plan, counsellors } = rota;
  const shifts = shiftsAround(rota, at).filter((s) => s.fromAt <= at && at < s.toAt);
  const onShift =
    plan === undefined
      ? counsellors.filter((c) => !c.lead)
      : counsellors.filter((c) => shifts.some((s) => s.who === c.id));
  return onShift.filter((c) => (rota.away.get(c.id) ?? at) <= at);
}

/**
 * Whether somebody answers at that instant for mothers of an area; undefined: for those of no area. A lead without counsellors
 * answers herself.
 */
export function isCovered(rota: Rota, at: number, area?: string): boolean {
  if (rota.plan === undefined && rota.counsellors.every((c) => c.lead)) return rota.counsellors.length > 0;
  return peopleOnDuty(rota, at).some((c) => worksIn(c, area));
}

/** The end of the shift that she is in, epoch milliseconds; undefined when she is in none, or always on duty. */
export function shiftEnd(rota: Rota, id: string, at: number): number | undefined {
  const ends = shiftsAround(rota, at)
    .filter((s) => s.who === id && s.fromAt <= at && at < s.toAt)
    .map((s) => s.toAt);
  return ends.length === 0 ? undefined : Math.max(...ends);
}

/** Instants between two others at which who is on duty can change, in order. */
export function dutyChanges(rota: Rota, fromAt: number, untilAt: number): readonly number[] {
  const { calendar } = rota;
  const changes = new Set(rota.away.values());
  for (let day = calendar.day(fromAt); calendar.instant(day, 0) < untilAt; day = calendar.plusDays(day, 1)) {
    for (const { fromAt: from, toAt } of shiftsAround(rota, calendar.instant(day, 12 * 60))) {
      changes.add(from).add(toAt);
    }
  }
  return [...changes].filter((at) => at > fromAt && at < untilAt).sort((a, b) => a - b);
}

export function counsellorById(programme: Programme, id: string): Counsellor | undefined {
  return programme.counsellors.find((c) => c.id === id);
}

/** Whom alerts come to in the end: leads, then clinical leads; where there is neither, everybody. */
export function leadersOf(rota: Rota): readonly Counsellor[] {
  const leads = rota.counsellors.filter((c) => c.lead && c.clinical !== true);
  const clinical = rota.counsellors.filter((c) => c.clinical === true);
  const above = [...leads, ...clinical];
  return above.length > 0 ? above : rota.counsellors;
}

function strangeness(counsellor: Counsellor, language: string | undefined): number {
  const speaks = counsellor.languages ?? [counsellor.language];
  return language !== undefined && !speaks.includes(language) ? 1 : 0;
}

/** One shift of one day; epoch milliseconds, the end not included. */
export interface Stretch {
  /** Who does it. */
  readonly who: string;
  /** Whose shift it is, where another does it. */
  readonly insteadOf?: string;
  readonly fromAt: number;
  readonly toAt: number;
  /** On holiday: nobody does it. */
  readonly away: boolean;
}

/** The shifts that begin on a local day, in the order of the plan, with swaps and holidays. */
export function shiftsOn(
  { plan, calendar }: Pick<Rota, 'plan' | 'calendar'>,
  day: string,
): readonly Stretch[] {
  return (plan?.week ?? [])
    .filter((shift) => shift.days.includes(weekdayOf(day)))
    .map((shift): Stretch => {
      const who = plan?.swaps.find((s) => s.from === shift.who && s.day === day)?.to ?? shift.who;
      const away =
        plan?.holidays.some((h) => h.who === who && h.firstDay <= day && day <= h.lastDay) === true;
      const endDay = shift.toMinuteOfDay <= shift.fromMinuteOfDay ? calendar.plusDays(day, 1) : day;
      return {
        ...{ who, away },
        fromAt: calendar.instant(day, shift.fromMinuteOfDay),
        toAt: calendar.instant(endDay, shift.toMinuteOfDay),
        ...(who === shift.who ? {} : { insteadOf: shift.who }),
      };
    });
}

/** The shifts that begin on this local day or the one before, without those that nobody does. */
function shiftsAround(rota: Rota, at: number): readonly Stretch[] {
  const { calendar } = rota;
  const today = calendar.day(at);
  return [calendar.plusDays(today, -1), today]
    .flatMap((day) => shiftsOn(rota, day))
    .filter((shift) => !shift.away);
}

/** Of a local day, YYYY-MM-DD. */
export function weekdayOf(day: string): Weekday {
  // 1970-01-01 was a Thursday.
  const days = Math.round(Date.parse(`${day}T00:00:00Z`) / 86_400_000);
  return weekdays[(((days + 3) % 7) + 7) % 7] ?? 'mon';
}
