import { ageInDays } from '../care/age.ts';
import { recentConcernDays, type TipConcern, tipConcerns, type TipFacts } from '../care/tips/index.ts';
import { foodOf } from './food-of-her.ts';
import type { Answers, LineState, Mother } from './line.ts';
import type { World } from './world.ts';

/** Age of her youngest baby in whole days on a day of her clock; undefined when she has none. */
export function youngestAgeDays(mother: Mother | undefined, today: string): number | undefined {
  const ages = (mother?.babies ?? []).map((b) => Math.max(0, ageInDays(b.bornOn, today)));
  return ages.length === 0 ? undefined : Math.min(...ages);
}

/** What is known of her now, as the calendar of tips asks it: for telling one, and for the desk that shows what comes. */
export function tipFacts(
  mother: Mother,
  index: number,
  state: LineState,
  world: Pick<World, 'now' | 'calendar'>,
): TipFacts {
  const today = world.calendar.day(world.now);
  const { allergies } = foodOf(mother);
  const weeks = mother.babies.flatMap((b) => (b.gestationWeeks === null ? [] : [b.gestationWeeks]));
  return {
    ageDays: youngestAgeDays(mother, today) ?? 0,
    babies: mother.babies.length,
    gestationWeeks: weeks.length === 0 ? null : Math.min(...weeks),
    firstBaby: mother.firstBaby ?? null,
    eats: mother.eats,
    allergies,
    concerns: recentConcerns(mother, index, state, world),
    month: Number(today.slice(5, 7)),
    language: state.language,
  };
}

/** A concern that nobody has closed is recent however old: what is said to others would be wrong for her. */
function recentConcerns(
  mother: Mother,
  index: number,
  state: LineState,
  { calendar, now }: Pick<World, 'now' | 'calendar'>,
): readonly TipConcern[] {
  const since = calendar.plusDays(calendar.day(now), -recentConcernDays);
  const ofAlerts = state.alerts
    .filter((a) => a.mother === index && (a.stage !== 'resolved' || calendar.day(a.raisedAt) >= since))
    .flatMap((a) => [
      ...a.signs.map((s) => `sign.${s.who}.${s.code}`),
      ...a.reasons.map((r) => `reason.${r}`),
    ]);
  const ofAnswers = mother.checkIns.filter((c) => c.day >= since).flatMap(({ answers }) => answered(answers));
  const told = new Set([...ofAlerts, ...ofAnswers]);
  return tipConcerns.filter((concern) => told.has(concern));
}

/** Answers that are no reason of a care rule and still call for a tip: pain is 1 none, 2 a little, 3 strong. */
function answered(answers: Answers): readonly TipConcern[] {
  return [
    ...(answers['pain'] === 2 ? ['answer.some-pain' as const] : []),
    ...(answers['help'] === false ? ['answer.no-help-at-home' as const] : []),
    ...(answers['seen'] === false ? ['answer.not-seen-since-birth' as const] : []),
  ];
}
