import type { Channel } from '../language/wording.ts';
import type { Draft } from './draft.ts';
import { factsOf, move, open } from './moves.ts';

const channel: Channel = 'text';
const plain = (text: string): string =>
  text
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\s]/gu, '')
    .trim()
    .replace(/\s+/gu, ' ');

/**
 * A text that is only the name of a language of the line ("english", "मराठी", "hindi me") turns to it, wherever she stands,
 * and asks there again what waits.
 * @returns false when it is anything else, or when a language is being asked for: then it is the answer
 */
export function turnToNamedLanguage(draft: Draft, body: string): boolean {
  const { state, world } = draft;
  const { languages, wording, dialogs } = world.content;
  const told = plain(body);
  if (told === '') return false; // Figures, as most answers are.
  if (state.standing === 'guest' || state.standing === 'stopped') return false;
  const standing = dialogs.standing(state.dialog);
  const isAsked = standing.kind === 'asking' && (standing.step.ask ?? []).some((f) => f.kind === 'language');
  if (isAsked) return false;
  const index = languages.findIndex((language) =>
    [
      wording.say('language.name', {}, language, channel),
      ...wording.say('language.also', {}, language, channel).split(','),
    ].some((name) => plain(name) === told),
  );
  if (index < 0) return false;
  const saidBefore = draft.says.length;
  open(draft, 'language');
  draft.says.length = saidBefore;
  move(draft, { type: 'ANSWER', read: { language: index + 1 }, doubt: null, facts: factsOf(draft) });
  return true;
}
