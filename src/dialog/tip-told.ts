import { oldestAgeDays } from '../care/check-in-rhythm.ts';
import { type ChosenTip, tipDue } from '../care/tips/index.ts';
import { changeMother, type Draft, note, say } from './draft.ts';
import type { Mother } from './line.ts';
import { rememberRoutine } from './routine-sent.ts';
import { tipFacts, youngestAgeDays } from './tip-facts.ts';
import { planNextTip } from './tip-plan.ts';

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
  say(draft, `tips.${tip.id}`, { emergency: draft.world.programme.emergencyNumber });
  changeMother(draft, index, { tipsTold: stillTold(draft, chosen, mother, ageDays) });
  rememberRoutine(draft, { mother: index, tip: tip.id });
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
