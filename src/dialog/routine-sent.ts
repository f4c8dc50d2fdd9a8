import { planCheckIn } from './check-in-plan.ts';
import { change, changeMother, type Draft, note } from './draft.ts';
import type { RoutineSent } from './line.ts';
import { planTipTomorrow } from './tip-plan.ts';

/** Receipts come within minutes, rarely after a day: so many routine texts are remembered until word of them comes. */
const kept = 4;

/** A check-in question or a tip goes out with this turn: what is to be undone should the carrier lose it. */
export function rememberRoutine(
  draft: Draft,
  of:
    | { readonly mother: number; readonly askedOn: string }
    | { readonly mother: number; readonly tip: string },
): void {
  const sent: RoutineSent = { id: `${draft.state.turns}.0`, ...of };
  change(draft, { routineSent: [...(draft.state.routineSent ?? []), sent].slice(-kept) });
}

/**
 * A routine text of ours did not reach her for good. A tip counts as not told, and comes again tomorrow or when it is due; a question
 * counts as not asked: what looked like her silence is taken back, and she is asked tomorrow. Once a person knows that texts do
 * not reach her, neither is hurried any more.
 * @param id of the message, without the line's
 * @returns whether it was a check-in question
 */
export function routineLost(draft: Draft, id: string): boolean {
  const sent = sentBy(draft, id);
  if (sent === undefined || sent.lost === true) return false;
  change(draft, {
    routineSent: (draft.state.routineSent ?? []).map((s) =>
      s.id === id ? { ...s, lost: true as const } : s,
    ),
  });
  const mother = draft.state.mothers[sent.mother];
  if (mother === undefined) return false;
  const isHopeless = draft.state.number?.told === true;
  if ('tip' in sent) {
    note(draft, 'tip-lost', { mother: sent.mother, tip: sent.tip });
    changeMother(draft, sent.mother, { tipsTold: (mother.tipsTold ?? []).filter((t) => t !== sent.tip) });
    if (!isHopeless) planTipTomorrow(draft, sent.mother);
    return false;
  }
  note(draft, 'check-in-lost', { mother: sent.mother, day: sent.askedOn });
  const wasCounted = mother.silentOn === sent.askedOn && mother.missed > 0;
  changeMother(draft, sent.mother, {
    notReachedOn: sent.askedOn,
    ...(wasCounted ? { missed: mother.missed - 1, silentOn: null } : {}),
  });
  const due = draft.state.dues.find((d) => d.kind === 'check-in' && d.mother === sent.mother);
  if (due?.kind === 'check-in' && !isHopeless) {
    planCheckIn(draft, sent.mother, true);
    const soon = draft.state.dues.find((d) => d.kind === 'check-in' && d.mother === sent.mother);
    // Never later than it was to be.
    if (soon?.kind === 'check-in' && (soon.wantedAt ?? soon.at) > (due.wantedAt ?? due.at))
      change(draft, { dues: draft.state.dues.map((d) => (d === soon ? due : d)) });
  }
  return true;
}

/** The question of the day could not be asked by call either. @returns whether there was one */
export function questionLost(draft: Draft, mother: number): boolean {
  const asked = draft.state.routineSent?.findLast((s) => s.mother === mother && 'askedOn' in s);
  return asked !== undefined && routineLost(draft, asked.id);
}

/** It arrived, perhaps after the network had given it up: a tip is not told twice, and a question was asked. */
export function routineArrived(draft: Draft, id: string): void {
  const sent = sentBy(draft, id);
  if (sent === undefined) return;
  change(draft, { routineSent: (draft.state.routineSent ?? []).filter((s) => s.id !== id) });
  const mother = draft.state.mothers[sent.mother];
  if (sent.lost !== true || mother === undefined) return;
  if ('tip' in sent) {
    const others = (mother.tipsTold ?? []).filter((t) => t !== sent.tip);
    changeMother(draft, sent.mother, { tipsTold: [...others, sent.tip] });
  } else if (mother.notReachedOn === sent.askedOn) changeMother(draft, sent.mother, { notReachedOn: null });
}

function sentBy(draft: Draft, id: string): RoutineSent | undefined {
  return draft.state.routineSent?.find((s) => s.id === id);
}
