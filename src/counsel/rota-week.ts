import { areasKnown } from './area.ts';
import { type RotaGap, rotaGaps } from './rota-gaps.ts';
import { type Rota, type Stretch, shiftsOn } from './rota.ts';

/** One local day of the rota: its shifts, and the hours in which somebody is missing. */
export interface RotaDay {
  /** YYYY-MM-DD. */
  readonly day: string;
  readonly shifts: readonly Stretch[];
  /** Hours of this day with nobody on duty; with an area, with nobody of that area. */
  readonly gaps: readonly (RotaGap & { readonly area?: string })[];
}

/** The rota of so many local days from the day of `fromAt` on. What is over on the first day is no gap any more. */
export function rotaWeek(rota: Rota, fromAt: number, days: number): readonly RotaDay[] {
  const { calendar } = rota;
  const first = calendar.day(fromAt);
  const areas = areasKnown({ counsellors: rota.counsellors });
  return Array.from({ length: days }, (_, i) => {
    const day = calendar.plusDays(first, i);
    const from = Math.max(fromAt, calendar.instant(day, 0));
    const until = calendar.instant(calendar.plusDays(day, 1), 0);
    const bare = rotaGaps(rota, from, until);
    const ofAreas = areas.flatMap((area) =>
      rotaGaps(rota, from, until, area)
        .filter((gap) => !bare.some((b) => b.fromAt <= gap.fromAt && gap.untilAt <= b.untilAt))
        .map((gap) => ({ ...gap, area })),
    );
    return { day, shifts: shiftsOn(rota, day), gaps: [...bare, ...ofAreas] };
  });
}
