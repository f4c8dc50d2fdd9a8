import { raiseAlert } from '../counsel/alerts.ts';
import { answering } from '../counsel/telling.ts';
import { takeKeys } from './asking.ts';
import { whoIsTold } from './danger-told.ts';
import { change, type Draft, note, say } from './draft.ts';
import type { LineEvent } from './event.ts';
import { askAgain, factsOf, move, open } from './moves.ts';
import { join } from './on-text.ts';
import { promisedNow } from './promise-told.ts';
import { callOver, endCallThatIsDone, notConfirmed, ringHer } from './ring-her.ts';
import {
  isAtTheGate,
  isSafetyCall,
  isSheThere,
  passTheGate,
  safetyKeys,
  saySafetyWords,
} from './who-answers.ts';

type CallEvent = Extract<LineEvent, { kind: 'call-rang' | 'call-answered' | 'keys' | 'call-ended' }>;

/** Calls: a ring is turned away and called back, free for her; an answered call asks one keypad question at a time. */
export function onCall(draft: Draft, event: CallEvent): void {
  switch (event.kind) {
    case 'call-rang':
      rang(draft);
      return;
    case 'call-answered':
      note(draft, 'call-answered', { callId: event.callId });
      if (isSheThere(draft, event)) answered(draft);
      return;
    case 'keys':
      note(draft, 'keys', { digits: event.digits });
      if (isAtTheGate(draft, event.callId)) {
        if (passTheGate(draft, event.digits)) answered(draft);
        return;
      }
      if (isSafetyCall(draft, event.callId)) {
        safetyKeys(draft, event.digits);
        return;
      }
      keys(draft, event.digits);
      endCallThatIsDone(draft, event.callId);
      return;
    case 'call-ended':
      // What was answered is already kept; the question stays open for a text or the next call.
      note(draft, 'call-ended', { status: event.status });
      callOver(draft, event.outboxId, event.status);
      return;
    default:
      event satisfies never;
  }
}

function rang(draft: Draft): void {
  const { state, world } = draft;
  note(draft, 'call-rang', {});
  if (state.standing === 'guest') {
    say(draft, 'invitation', { programme: world.programme.name, emergency: world.programme.emergencyNumber });
    return;
  }
  // A stopped number that rings asks for us by her own act: she is called back, and told how to start.
  ringHer(draft, 'call-back');
}

function answered(draft: Draft): void {
  const { state, world } = draft;
  const calling = state.calling ?? null;
  if (calling?.confirmed === true && calling.why === 'safety') {
    saySafetyWords(draft, calling);
    return;
  }
  if (state.standing === 'stopped') {
    say(draft, 'stop.how-to-start');
    open(draft, 'signs-menu');
    return;
  }
  // Who calls was said at the gate already.
  if (calling === null || calling.gates === 0) say(draft, 'call.hello', { programme: world.programme.name });
  if (calling !== null) {
    change(draft, { writing: calling.mother, calling: { ...calling, says: [] } });
    draft.says.push(...promisedNow(draft, calling.says));
  }
  if (state.dialog !== null) {
    askAgain(draft);
    return;
  }
  const today = world.calendar.day(world.now);
  if (state.mothers.length === 0) open(draft, 'enrolment');
  else if (state.mothers.length > 1) open(draft, 'who');
  else if (state.mothers[0]?.checkIns.some((c) => c.day === today) === true) open(draft, 'keys-menu');
  else open(draft, 'check-in');
}

function keys(draft: Draft, digits: string): void {
  const { state, world } = draft;
  if (state.standing === 'guest') {
    guestKeys(draft, digits);
    return;
  }
  if (digits.startsWith('*')) {
    open(draft, 'keys-menu');
    return;
  }
  const standing = world.content.dialogs.standing(state.dialog);
  if (standing.kind === 'quiet') {
    open(draft, 'keys-menu');
    return;
  }
  if (digits === '' && standing.run.attempts >= 1) {
    // Nobody is there: the call ends, the question waits.
    draft.hangUp = true;
    notConfirmed(draft);
    say(draft, 'call.later');
    return;
  }
  const taken = takeKeys(standing, digits, state, world);
  const worried = taken.read['worry'] === 'keys';
  draft.holdAsk = worried;
  move(draft, { type: 'ANSWER', ...taken, facts: factsOf(draft) });
  draft.holdAsk = false;
  if (worried && !draft.hangUp) open(draft, 'signs-menu');
}

/** A number that is not enrolled, on a call that it made itself: 1 joins, 2 says that there is danger. */
function guestKeys(draft: Draft, digits: string): void {
  const { world } = draft;
  if (digits === '1') {
    join(draft, world.programme.language, 'pressed 1', 'call');
    return;
  }
  if (digits === '2') {
    raiseAlert(draft, {
      tier: 'A',
      mother: -1,
      signs: [],
      reasons: ['danger-by-key'],
      words: '',
      confirmed: true,
    });
    draft.hangUp = true;
    draft.purpose = 'safety';
    say(draft, 'safety.any', { emergency: world.programme.emergencyNumber });
    say(draft, whoIsTold(draft), { name: answering(draft)?.name ?? world.programme.name });
    return;
  }
  draft.hangUp = true;
  say(draft, 'call.goodbye');
}
