import type { Alert } from '../dialog/line.ts';
import type { World } from '../dialog/world.ts';

const minuteMs = 60_000;

/**
 * Minutes after raising at which an alert that nobody acknowledged climbs, unless the rota sets others. The rungs are: again,
 * the next person (for tier A with a call), the lead, and so on. Common practice, no source; each programme sets its own.
 */
const climbMinutes = { A: [5, 10, 20, 40, 60], B: [120, 240, 480] } as const;

/** Whether a climb is told by call as well: for tier A from the second person on. */
export function climbsByCall(alert: Alert): boolean {
  return alert.tier === 'A' && alert.climbed >= 2;
}

/**
 * When an unacknowledged alert climbs next, epoch milliseconds; undefined when it waits on the list (tier C).
 * It never stops climbing: past the table it is told again each time the last step has passed.
 */
export function nextClimbAt(alert: Alert, world: World): number | undefined {
  if (alert.tier === 'C') return undefined;
  const table: readonly number[] = world.programme.rota?.climbMinutes[alert.tier] ?? climbMinutes[alert.tier];
  const since = alert.climbsFromAt ?? alert.raisedAt;
  const from = alert.tier === 'B' ? workingFrom(since, world) : since;
  const last = table[table.length - 1] ?? 60;
  const step = last - (table[table.length - 2] ?? 0);
  const minutes = table[alert.climbed] ?? last + (alert.climbed - table.length + 1) * step;
  const at = Math.max(from + minutes * minuteMs, world.now + minuteMs);
  // Nobody is woken for what can be spoken of in the morning.
  return alert.tier === 'B' ? workingFrom(at, world) : at;
}

/**
 * When an alert climbs whose message did not reach anybody: soon, and not at its usual time. At the lead there is nobody above,
 * so she is tried again every few minutes. Common practice, no source.
 */
export function climbAfterFailure(alert: Alert, world: World): number | undefined {
  const usual = nextClimbAt(alert, world);
  if (usual === undefined) return undefined;
  const soon = world.now + (alert.climbed >= 3 ? 5 * minuteMs : 20_000);
  return Math.min(usual, alert.tier === 'B' ? workingFrom(soon, world) : soon);
}

/** When a counsellor may be told of a tier B alert: at once in working hours, else 07:00. Common practice, no source. */
export function workingFrom(at: number, world: World): number {
  const calendar = world.dutyCalendar ?? world.calendar;
  const minute = calendar.minuteOfDay(at);
  const day = calendar.day(at);
  if (minute < 7 * 60) return calendar.instant(day, 7 * 60);
  if (minute >= 21 * 60) return calendar.instant(calendar.plusDays(day, 1), 7 * 60);
  return at;
}
