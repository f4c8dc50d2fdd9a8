import type { Draft } from './draft.ts';
import { plainName } from './language-names.ts';
import { factsOf, move, open } from './moves.ts';

/**
 * A text that is only the name of a language of the line ("english", "मराठी", "hindi me") turns to it, wherever she stands,
 * and asks there again what waits.
 * @returns false when it is anything else, or when a language is being asked for: then it is the answer
 */
export function turnToNamedLanguage(draft: Draft, body: string): boolean {
  const { state, world } = draft;
  const { languageNames, dialogs } = world.content;
  const told = plainName(body);
  if (told === '') return false; // Figures, as most answers are.
  if (state.standing === 'guest' || state.standing === 'stopped') return false;
  const standing = dialogs.standing(state.dialog);
  const isAsked = standing.kind === 'asking' && (standing.step.ask ?? []).some((f) => f.kind === 'language');
  if (isAsked) return false;
  const index = languageNames.get(told);
  if (index === undefined) return false;
  const saidBefore = draft.says.length;
  open(draft, 'language');
  draft.says.length = saidBefore;
  move(draft, { type: 'ANSWER', read: { language: index + 1 }, doubt: null, facts: factsOf(draft) });
  return true;
}
