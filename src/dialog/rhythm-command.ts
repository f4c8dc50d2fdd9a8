import type { CommandName } from '../language/command-words.ts';
import { askedNow } from './asking.ts';
import type { Draft } from './draft.ts';
import type { RhythmWish } from './line.ts';
import { open } from './moves.ts';
import { wishFor } from './rhythm-acts.ts';
import { wishOfText } from './rhythm-text.ts';

type RhythmCommand = Extract<
  CommandName,
  'pause' | 'resume' | 'hour' | 'tips' | 'no-tips' | 'by-call' | 'by-text'
>;

/** Words for her rhythm. @returns false for who is not enrolled: to them they mean nothing */
export function obeyRhythm(draft: Draft, command: RhythmCommand): boolean {
  const { state } = draft;
  if (state.standing !== 'enrolled' || state.mothers.length === 0) return false;
  switch (command) {
    case 'pause':
      wish(draft, { kind: 'rest', days: null });
      return true;
    case 'resume':
      wish(draft, { kind: 'resume' });
      return true;
    case 'hour':
      open(draft, 'change-hour');
      return true;
    case 'by-call':
    case 'by-text':
      wish(draft, { kind: 'way', by: command === 'by-call' ? 'call' : 'text' });
      return true;
    case 'tips':
    case 'no-tips':
      wish(draft, { kind: 'tips', wanted: command === 'tips' });
      return true;
    default:
      return command satisfies never;
  }
}

/** "PAUSE 5", "HOUR 7": a word for her rhythm with how long or when. A question about hours is answered first. */
export function obeyRested(draft: Draft, body: string): boolean {
  const { state, world } = draft;
  if (state.standing !== 'enrolled' || state.mothers.length === 0) return false;
  const told = world.content.commandWords.withRest(body);
  if (told === undefined) return false;
  const standing = world.content.dialogs.standing(state.dialog);
  if (standing.kind === 'asking' && told.command === 'hour') {
    const [only, ...more] = askedNow(standing, 'text');
    if (standing.flow.flow === 'enrolment') return false;
    if (only !== undefined && more.length === 0 && (only.kind === 'hours' || only.kind === 'time-of-day'))
      return false;
  }
  const wished = wishOfText(told, world);
  if (wished === undefined) return false;
  wish(draft, wished);
  return true;
}

function wish(draft: Draft, wished: RhythmWish): void {
  const ask = wishFor(draft, wished);
  if (ask !== undefined) open(draft, ask);
}
