import { keepBirth } from './birth-told.ts';
import { type Draft, note } from './draft.ts';
import type { LineEvent } from './event.ts';
import { type LineId, type LineState, newLine } from './line.ts';
import { onCall } from './on-call.ts';
import { onCounsellor } from './on-counsellor.ts';
import { onDue } from './on-due.ts';
import { invite } from './invitation.ts';
import { onText } from './on-text.ts';
import { noteReached } from './her-number.ts';
import { place } from './place.ts';
import { onReceipt } from './receipts.ts';
import { watchSafetyText } from './safety-text.ts';
import { askByCall } from './ask-by-call.ts';
import { grantWish } from './rhythm-wish.ts';
import { planRoutine } from './routine-plan.ts';
import type { World } from './world.ts';

/**
 * One event on one line: the new state and all that it causes. Pure: the same line, event and world give the same turn.
 * @param state undefined for a number of which nothing is kept
 * @returns the draft; its state has `standing: 'guest'` and no alerts when nothing may be kept (see `isKept`)
 */
export function turn(
  lineId: LineId,
  phone: string,
  state: LineState | undefined,
  event: LineEvent,
  world: World,
): Draft {
  const kept = state ?? newLine(phone, world.programme.language);
  // An invitation that ended leaves no number behind.
  const start = kept.phone === '' && phone !== '' ? { ...kept, phone } : kept;
  const draft: Draft = {
    lineId,
    world,
    channel:
      event.kind === 'keys' || event.kind === 'call-answered' || event.kind === 'call-rang'
        ? 'voice'
        : 'text',
    state: { ...start, turns: start.turns + 1 },
    says: [],
    hangUp: false,
    holdAsk: false,
    purpose: 'reply',
    sends: [],
    journal: [],
  };
  if (event.kind === 'text' || event.kind === 'call-rang' || event.kind === 'keys') noteReached(draft);
  switch (event.kind) {
    case 'text':
      note(draft, 'text-in', { body: event.body });
      onText(draft, event.body);
      break;
    case 'call-rang':
    case 'call-answered':
    case 'keys':
    case 'call-ended':
      onCall(draft, event);
      break;
    case 'due':
      onDue(draft);
      break;
    case 'counsellor':
      onCounsellor(draft, event);
      break;
    case 'invite':
      invite(draft, event);
      break;
    case 'place':
      place(draft, event);
      break;
    case 'birth':
      keepBirth(draft, event);
      break;
    case 'rhythm':
      // She did not ask for it, and need not be told by a text: the counsellor speaks with her.
      grantWish(draft, event.mother, event.wish, event.by);
      draft.says.length = 0;
      break;
    case 'receipt':
      onReceipt(draft, event);
      break;
    default:
      event satisfies never;
  }
  // Who stopped us is not written to of our own accord; what was raised is with the counsellor all the same.
  if (event.kind === 'due' && draft.state.standing === 'stopped') draft.says.length = 0;
  askByCall(draft, event);
  watchSafetyText(draft, event);
  planRoutine(draft);
  if (draft.says.length > 0 && event.kind !== 'counsellor' && event.kind !== 'invite') {
    draft.state = { ...draft.state, lastSaid: draft.says.slice(-4) };
  }
  return draft;
}

/** Whether anything of this line may be kept: she agreed, she once did, a danger was told, or she is asked if she agrees. */
export function isKept(state: LineState): boolean {
  return (
    state.standing !== 'guest' ||
    state.alerts.length > 0 ||
    state.unconfirmed !== null ||
    (state.invitation ?? null) !== null
  );
}
