import { type Draft, note } from './draft.ts';
import type { LineEvent } from './event.ts';
import { isDead } from './her-number.ts';
import { routineLost } from './routine-sent.ts';
import { ringHer } from './ring-her.ts';

/** What a question is said to follow: the hello of a text, and the question itself, which the call asks in its own words. */
const ofTheText = /^(ask|field|check-in\.hello)/;

/**
 * What we ask of our own accord goes out as a call to a mother who prefers to listen: the same question, at the same time, asked once
 * she has said that it is she. What only tells stays a text. To a number that is known to be dead nothing routine goes out.
 */
export function askByCall(draft: Draft, event: LineEvent): void {
  if (event.kind !== 'due' || draft.says.length === 0) return;
  const { state, world, purpose } = draft;
  const isRoutine = purpose === 'check-in' || purpose === 'tip';
  if (isRoutine && isDead(draft)) {
    note(draft, 'withheld', { purpose });
    draft.says.length = 0;
    routineLost(draft, `${state.turns}.0`);
    return;
  }
  if (!isRoutine && purpose !== 'follow-up') return;
  const isAsking = world.content.dialogs.standing(state.dialog).kind === 'asking';
  if (!isAsking || state.mothers[state.writing]?.askedBy !== 'call') return;
  const says = draft.says.filter((s) => !ofTheText.test(s.key));
  draft.says.length = 0;
  ringHer(draft, 'question', says);
}
