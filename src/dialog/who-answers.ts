import type { CallKept } from './call-kept.ts';
import { change, type Draft, note, say } from './draft.ts';
import type { LineEvent } from './event.ts';
import { askAgain } from './moves.ts';
import { promisedNow } from './promise-told.ts';
import { callAnswered, endCalling } from './ring-her.ts';
import { forgetSafetyText } from './safety-text.ts';

/** How often it is asked who is there, before the call ends. */
const mostGates = 2;
/** Who answers so soon after she rang is taken to be she. Common practice, no source. */
const expectedWithinMs = 120_000;

/**
 * A call of ours was answered. Phones are shared and machines answer them: until the key is pressed that says that it is she, nothing
 * is said but who calls. A machine that the carrier knows for one is left without a word.
 * @returns whether the call may go on as hers
 */
export function isSheThere(draft: Draft, event: Extract<LineEvent, { kind: 'call-answered' }>): boolean {
  if (event.answeredBy === 'machine') {
    note(draft, 'machine-answered', {});
    draft.hangUp = true;
    return false;
  }
  if (event.outboxId === undefined) return true;
  const calling = callAnswered(draft, event.outboxId);
  const isExpected =
    calling.why === 'call-back' &&
    draft.world.now - calling.placedAt <= expectedWithinMs &&
    calling.resumed === 0;
  change(draft, { calling: { ...calling, callId: event.callId, confirmed: isExpected } });
  if (!isExpected) gate(draft);
  return isExpected;
}

/** Whether keys of this call still say who is there. */
export function isAtTheGate(draft: Draft, callId: string): boolean {
  const calling = draft.state.calling ?? null;
  return calling !== null && calling.callId === callId && !calling.confirmed;
}

/** The key that says that it is she; anything else is asked once more, and then the call ends. @returns whether it is she */
export function passTheGate(draft: Draft, digits: string): boolean {
  const calling = draft.state.calling ?? null;
  if (calling === null) return true;
  if (digits.startsWith('1')) {
    change(draft, { calling: { ...calling, confirmed: true } });
    return true;
  }
  if (calling.gates < mostGates) gate(draft);
  else {
    draft.hangUp = true;
    say(draft, 'ring.another-time');
  }
  return false;
}

function gate(draft: Draft): void {
  const { calling } = draft.state;
  if (calling === undefined || calling === null) return;
  change(draft, { calling: { ...calling, gates: calling.gates + 1 } });
  draft.awaitKey = true;
  const { name: programme } = draft.world.programme;
  say(draft, calling.why === 'safety' ? 'ring.gate-urgent' : 'ring.gate', { programme });
}

/** The safety words, and a key to hear them again; a question about a danger that stands is asked after them. */
export function saySafetyWords(draft: Draft, calling: CallKept): void {
  const { world, state } = draft;
  note(draft, 'safety-heard', {});
  forgetSafetyText(draft);
  draft.purpose = 'safety';
  draft.says.push(...promisedNow(draft, calling.says));
  const standing = world.content.dialogs.standing(state.dialog);
  if (standing.kind === 'asking' && standing.flow.flow === 'danger-check') {
    endCalling(draft);
    askAgain(draft);
    return;
  }
  draft.awaitKey = true;
  say(draft, 'ring.once-more');
}

/** Whether keys of this call answer after the safety words. */
export function isSafetyCall({ state }: Draft, callId: string): boolean {
  const calling = state.calling ?? null;
  return calling !== null && calling.why === 'safety' && calling.callId === callId;
}

/** Once more on 1; on anything else, and on none, the call is done. */
export function safetyKeys(draft: Draft, digits: string): void {
  const { calling } = draft.state;
  if (calling !== undefined && calling !== null && digits.startsWith('1'))
    return saySafetyWords(draft, calling);
  endCalling(draft);
  draft.hangUp = true;
  say(draft, 'call.goodbye');
}
