import { ageInDays } from '../care/age.ts';
import { oldestAgeDays } from '../care/check-in-rhythm.ts';
import { type ChosenTip, type TipConcern, tipConcerns, tipDue, type TipFacts } from '../care/tips/index.ts';
import { changeMother, type Draft, note, say } from './draft.ts';
import { foodOf } from './food-of-her.ts';
import type { LineState, Mother } from './line.ts';
import { planNextTip } from './tip-plan.ts';
import type { World } from './world.ts';

/** A concern told in so many days is one that a tip may answer. Common practice, no source. */
const recentDays = 14;

/**
 * The tip of the week: words for her to read or hear, and in the journal which one and why. None that fits: silence until the
 * next. However she is reached, the words are `says` of a message for a tip; nothing here knows whether they are read or heard.
 */
export function tellTip(draft: Draft, index: number): void {
  const mother = draft.state.mothers[index];
  const { calendar, now, content } = draft.world;
  const ageDays = youngestAgeDays(mother, calendar.day(now));
  if (mother === undefined || ageDays === undefined || ageDays > oldestAgeDays) return;
  planNextTip(draft, index);
  const chosen = tipDue(
    content.tips,
    tipFacts(mother, index, draft.state, draft.world),
    mother.tipsTold ?? [],
  );
  if (chosen === undefined) {
    note(draft, 'no-tip', { mother: index, ageDays });
    return;
  }
  const { tip, why } = chosen;
  draft.purpose = 'tip';
  // Whose baby it is about must be plain where several mothers read one phone.
  if (draft.state.mothers.length > 1) say(draft, 'tip-for', { name: nameOf(draft, index) });
  say(draft, `tips.${tip.id}`);
  changeMother(draft, index, { tipsTold: stillTold(draft, chosen, mother, ageDays) });
  note(draft, 'tip', { mother: index, tip: tip.id, why });
}

/** Ids whose time is over can never be chosen again: they are not kept. */
function stillTold(draft: Draft, { tip }: ChosenTip, mother: Mother, ageDays: number): readonly string[] {
  const over = new Set(draft.world.content.tips.filter((t) => t.untilDays <= ageDays).map((t) => t.id));
  return [...(mother.tipsTold ?? []).filter((id) => !over.has(id) && id !== tip.id), tip.id];
}

function nameOf({ state, world, channel }: Draft, index: number): string {
  return (
    state.mothers[index]?.name ??
    world.content.wording.say(`mother.${index + 1}`, {}, state.language, channel)
  );
}

function youngestAgeDays(mother: Mother | undefined, today: string): number | undefined {
  const ages = (mother?.babies ?? []).map((b) => Math.max(0, ageInDays(b.bornOn, today)));
  return ages.length === 0 ? undefined : Math.min(...ages);
}

/** What is known of her today, as the calendar of tips asks it. */
export function tipFacts(mother: Mother, index: number, state: LineState, world: World): TipFacts {
  const { calendar, now } = world;
  const today = calendar.day(now);
  const { allergies } = foodOf(mother);
  const weeks = mother.babies.flatMap((b) => (b.gestationWeeks === null ? [] : [b.gestationWeeks]));
  return {
    ageDays: youngestAgeDays(mother, today) ?? 0,
    babies: mother.babies.length,
    gestationWeeks: weeks.length === 0 ? null : Math.min(...weeks),
    // Nobody asks her: a tip for a first baby is told only once that is known.
    firstBaby: null,
    eats: mother.eats,
    allergies,
    concerns: recentConcerns(mother, index, state, world),
    month: Number(today.slice(5, 7)),
    language: state.language,
  };
}

function recentConcerns(
  mother: Mother,
  index: number,
  state: LineState,
  { calendar, now }: World,
): readonly TipConcern[] {
  const since = calendar.plusDays(calendar.day(now), -recentDays);
  const ofAlerts = state.alerts
    .filter((a) => a.mother === index && calendar.day(a.raisedAt) >= since)
    .flatMap((a) => [
      ...a.signs.map((s) => `sign.${s.who}.${s.code}`),
      ...a.reasons.map((r) => `reason.${r}`),
    ]);
  const ofAnswers = mother.checkIns
    .filter((c) => c.day >= since)
    .flatMap(({ answers }) => [
      ...(answers['pain'] === 2 ? ['answer.some-pain'] : []),
      ...(answers['help'] === false ? ['answer.no-help-at-home'] : []),
      ...(answers['seen'] === false ? ['answer.not-seen-since-birth'] : []),
    ]);
  const told = new Set([...ofAlerts, ...ofAnswers]);
  return tipConcerns.filter((concern) => told.has(concern));
}
