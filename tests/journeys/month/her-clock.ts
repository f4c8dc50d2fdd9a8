/** Clocks of the world as the platform's IANA data has them, read by search and not by the line's own calendar. */

const faces = new Map<string, Intl.DateTimeFormat>();

function faceOf(zone: string): Intl.DateTimeFormat {
  const known = faces.get(zone);
  if (known !== undefined) return known;
  const made = new Intl.DateTimeFormat('en-CA', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  faces.set(zone, made);
  return made;
}

/** "2026-10-25 09:30" on the clock of a zone. */
export function face(zone: string, at: number): string {
  const parts = Object.fromEntries(
    faceOf(zone)
      .formatToParts(at)
      .map((p) => [p.type, p.value]),
  );
  return `${parts['year']}-${parts['month']}-${parts['day']} ${parts['hour']}:${parts['minute']}`;
}

/** The first instant at which the clock shows that day and time. None of the month is skipped by a clock change in writing hours. */
export function instantOf(zone: string, day: string, minuteOfDay: number): number {
  const clock = `${String(Math.floor(minuteOfDay / 60)).padStart(2, '0')}:${String(minuteOfDay % 60).padStart(2, '0')}`;
  const utc = Date.parse(`${day}T${clock}:00Z`);
  for (let quarter = -56; quarter <= 56; quarter++) {
    const at = utc + quarter * 900_000;
    if (face(zone, at) === `${day} ${clock}`) return at;
  }
  throw new Error(`${zone} has no ${day} ${clock}`);
}

export function dayOf(zone: string, at: number): string {
  return face(zone, at).slice(0, 10);
}

export function minuteOf(zone: string, at: number): number {
  const clock = face(zone, at).slice(11);
  return Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3));
}

export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);
}

export function daysLater(day: string, days: number): string {
  return new Date(Date.parse(day) + days * 86_400_000).toISOString().slice(0, 10);
}
