import type { Alert, LineState } from '../dialog/line.ts';
import type { Counsellor, World } from '../dialog/world.ts';
import { nextClimbAt, workingFrom } from './climbing.ts';
import { dutyChanges, peopleOnDuty, rotaOf } from './rota.ts';
import { tellAt, tellingOf } from './telling.ts';

/**
 * What a mother may be told of a call. `open`: it is passed on, and nobody knows when a call will come, since nobody is on duty
 * or it waits on the list; `nobody`: the programme has no counsellor.
 */
export type CallPromise =
  | { readonly kind: 'today' | 'tomorrow'; readonly by: Counsellor; readonly toldAt: number }
  | { readonly kind: 'open'; readonly by: Counsellor }
  | { readonly kind: 'nobody' };

/** Working time that a counsellor must have left after she was told, for a call still to come. Common practice, no source. */
const timeToCallMs = 60 * 60_000;

/** Tellings looked at: with the closest climbing of a rota, one a minute, still two hours. */
const mostTellings = 120;

/**
 * The call that an alert will bring, by the same times and people as it is told: when each is told, as it climbs, and whether
 * she is then on duty with time left. Days are those of the mother's clock. What nobody on duty is told of is not promised.
 */
export function callPromise(state: LineState, alert: Alert, world: World): CallPromise {
  const first = tellingOf(state, alert, world);
  if (first === undefined) return { kind: 'nobody' };
  const { calendar, now } = world;
  const today = calendar.day(now);
  const until = calendar.instant(calendar.plusDays(today, 2), 0);
  let best: { readonly by: Counsellor; readonly toldAt: number; readonly readyAt: number } | undefined;
  if (alert.tier !== 'C')
    for (const { at, to } of tellings(state, alert, world, until)) {
      if (best !== undefined && at >= best.readyAt) break;
      const readyAt = readyToCall(to, alert, at, until, world);
      if (readyAt !== undefined && (best === undefined || readyAt < best.readyAt))
        best = { by: to, toldAt: at, readyAt };
    }
  if (best === undefined) return { kind: 'open', by: first };
  const day = calendar.day(best.readyAt + timeToCallMs);
  const kind = day === today ? 'today' : day === calendar.plusDays(today, 1) ? 'tomorrow' : undefined;
  return kind === undefined ? { kind: 'open', by: first } : { kind, by: best.by, toldAt: best.toldAt };
}

/** Who will be told of it and when, as long as nobody takes it. */
function tellings(state: LineState, alert: Alert, world: World, until: number) {
  const found: { readonly at: number; readonly to: Counsellor }[] = [];
  let rung = alert;
  let at = tellAt(alert, world);
  while (at < until && found.length < mostTellings) {
    const then = { ...world, now: at };
    const to = tellingOf(state, rung, then);
    if (to !== undefined) found.push({ at, to });
    const next = alert.acknowledgedBy === null ? nextClimbAt(rung, then) : undefined;
    if (next === undefined) break;
    rung = { ...rung, climbed: rung.climbed + 1 };
    at = next;
  }
  return found;
}

/** The first instant from which a counsellor is on duty, in working hours, with time left for a call. */
function readyToCall(
  who: Counsellor,
  alert: Alert,
  from: number,
  until: number,
  world: World,
): number | undefined {
  const rota = rotaOf(world);
  const clock = world.dutyCalendar ?? world.calendar;
  const changes = dutyChanges(rota, from, until);
  const mornings = [1, 2].map((days) => clock.instant(clock.plusDays(clock.day(from), days), 0));
  // A lead stands in no shift: what she took herself, she answers.
  const isHers = alert.acknowledgedBy === who.id && who.lead;
  const alone = rota.plan === undefined && rota.counsellors.every((c) => c.lead);
  const isOn = (at: number): boolean =>
    isHers || alone
      ? (rota.away.get(who.id) ?? at) <= at
      : peopleOnDuty(rota, at).some((c) => c.id === who.id);
  return [from, ...changes, ...mornings]
    .map((at) => workingFrom(at, world))
    .filter((at) => at < until)
    .sort((a, b) => a - b)
    .find((at) => {
      const last = at + timeToCallMs - 1;
      return (
        workingFrom(last, world) === last && isOn(at) && changes.every((c) => c < at || c > last || isOn(c))
      );
    });
}
