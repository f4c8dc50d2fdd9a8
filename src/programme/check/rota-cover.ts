import { areasKnown } from '../../counsel/area.ts';
import type { RotaFile } from '../../counsel/rota-file.ts';
import { type RotaGap, rotaGaps } from '../../counsel/rota-gaps.ts';
import { rotaOf, weekdayOf } from '../../counsel/rota.ts';
import type { Calendar } from '../../language/calendar.ts';
import { type Finding, problem, remark } from './finding.ts';

/** A month, at its longest. */
const daysAhead = 31;

/**
 * What a rota leaves open: every stretch of the coming month in which nobody is on duty, or nobody of an area, and languages that
 * nobody speaks. A swap for a day on which there is no shift to swap is told too: it is a slip of the pen.
 */
export function checkRota(
  file: string,
  { counsellors, plan }: RotaFile,
  calendar: Calendar,
  now: number,
  languages: readonly string[],
): readonly Finding[] {
  const rota = rotaOf({ programme: { counsellors, rota: plan }, calendar });
  const until = now + daysAhead * 86_400_000;
  const bare = rotaGaps(rota, now, until);
  const told = ({ fromAt, untilAt }: RotaGap, where: string) =>
    problem(
      `${file}: nobody is on duty${where} from ${moment(fromAt, calendar)} to ${moment(untilAt, calendar)}; put somebody in`,
    );
  const gaps = bare.map((gap) => told(gap, ''));
  // A stretch that nobody covers at all is told once.
  const ofAreas = areasKnown({ counsellors }).flatMap((area) =>
    rotaGaps(rota, now, until, area)
      .filter((gap) => !bare.some((b) => b.fromAt <= gap.fromAt && gap.untilAt <= b.untilAt))
      .map((gap) => told(gap, ` in "${area}"`)),
  );
  const spoken = new Set(counsellors.flatMap((c) => c.languages ?? [c.language]));
  const unspoken = languages
    .filter((l) => !spoken.has(l))
    .map((l) => remark(`${file}: no counsellor speaks "${l}", which the line offers to mothers`));
  const idle = plan.swaps
    .filter((s) => !plan.week.some((shift) => shift.who === s.from && shift.days.includes(weekdayOf(s.day))))
    .map((s) =>
      problem(`${file}: the swap of ${s.day} takes a shift of ${s.from}, who has none on that day`),
    );
  return [...gaps, ...ofAreas, ...unspoken, ...idle];
}

function moment(at: number, calendar: Calendar): string {
  const minute = calendar.minuteOfDay(at);
  return `${calendar.day(at)} ${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}
