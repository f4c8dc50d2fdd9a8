import type { CallKept } from './call-kept.ts';
import { change, type Draft, dropDues, minuteMs, note, setDue } from './draft.ts';
import { noteUndelivered, tellOfNumber } from './her-number.ts';
import type { Say } from './line.ts';
import { questionLost } from './routine-sent.ts';
import { isWritingTime, writingEnds, writingTime } from './writing-hours.ts';

/**
 * Minutes after a call that did not reach her until the next, by its try: a safety call soon and in quiet hours too, a question at
 * other hours of the same day. After the last one the call is over. Common practice, no source.
 */
const waitMinutes: Readonly<Record<CallKept['why'], readonly number[]>> = {
  safety: [2, 5, 10],
  question: [60, 180, 300],
  'call-back': [2],
};
/** A call that broke off half-way is rung once more at once, and goes on where it stopped. */
const resumeMinutes = 1;
const mostResumed = 2;
/** The carrier did not say how a call ended: taken as not reached after so long. */
const noWordMinutes: Readonly<Record<CallKept['why'], number>> = { safety: 5, question: 30, 'call-back': 30 };
/** Her phone is still busy with its own ring. */
const afterHerRingMs = 4_000;

/** Rings her for a matter; what is being asked is asked on the call. A safety matter takes the place of any other. */
export function ringHer(draft: Draft, why: CallKept['why'], says: readonly Say[] = []): void {
  const { state, world } = draft;
  if (state.calling?.why === 'safety' && why !== 'safety') {
    // She rings while we have safety words for her: they are what she hears.
    if (why === 'call-back') place(draft, state.calling);
    return;
  }
  const mother = state.writing;
  const fresh = {
    tries: 0,
    resumed: 0,
    isOver: false,
    callId: null,
    gates: 0,
    confirmed: false,
    placedAt: world.now,
  };
  place(draft, { why, mother, says, turn: state.turns, ...fresh });
}

function place(draft: Draft, calling: CallKept): void {
  const { world, state } = draft;
  const { why } = calling;
  const next = { ...calling, tries: calling.tries + 1, turn: state.turns, placedAt: world.now };
  change(draft, { calling: { ...next, isOver: false, callId: null, gates: 0, confirmed: false } });
  const lateAt = world.now + 30 * minuteMs;
  draft.sends.push({
    to: { kind: 'line' },
    channel: 'call',
    says: [],
    purpose: why === 'safety' ? 'safety' : why === 'question' ? 'check-in' : 'reply',
    notBefore: world.now + (why === 'call-back' ? afterHerRingMs : 0),
    // A phone that rings in the night, or a second time at once, is no help; the next try has a call of its own.
    sendBefore: why === 'question' ? Math.min(lateAt, writingEnds(world.now, world)) : lateAt,
  });
  note(draft, 'ringing', { why, tries: next.tries });
  setDue(draft, { kind: 'call-again', at: world.now + noWordMinutes[why] * minuteMs });
}

/**
 * The call under way, of whichever of our calls was answered: one that rang long may be answered after the next was placed, and one
 * may be answered for which nothing is rung any more. That one is not rung again.
 */
export function callAnswered({ state, world, lineId }: Draft, outboxId: string): CallKept {
  const turn = Number(outboxId.slice(lineId.length + 1).split('.')[0]);
  const { calling } = state;
  if (calling !== undefined && calling !== null) return { ...calling, turn, isOver: false };
  return {
    why: 'question',
    mother: state.writing,
    ...{
      turn,
      placedAt: world.now,
      tries: waitMinutes.question.length + 1,
      resumed: mostResumed,
      isOver: false,
    },
    ...{ callId: null, gates: 0, confirmed: false, says: [] },
  };
}

/** The call under way, when `outboxId` is its id. */
function isThisCall(draft: Draft, outboxId: string | undefined): boolean {
  const { calling } = draft.state;
  if (calling === undefined || calling === null || outboxId === undefined) return false;
  return outboxId.startsWith(`${draft.lineId}.${calling.turn}.`);
}

/** A call ended, or was never placed. Reached and done, it is over; broken off, it goes on; not reached, it is tried at other hours. */
export function callOver(draft: Draft, outboxId: string | undefined, status: string): void {
  const { calling } = draft.state;
  if (calling === undefined || calling === null || calling.isOver || !isThisCall(draft, outboxId)) return;
  const isFailure = status === 'failed' || status === 'canceled';
  const ended = isFailure && calling.ended !== 'rang' ? 'failed' : 'rang';
  change(draft, { calling: { ...calling, ended, isOver: true } });
  const heard = status === 'completed' && calling.confirmed;
  if (heard && calling.why === 'safety') return endCalling(draft);
  if (heard && !isAsking(draft)) return endCalling(draft);
  if (heard && calling.resumed < mostResumed) {
    note(draft, 'broke-off', { why: calling.why });
    // One try less, since she was reached.
    change(draft, {
      calling: { ...calling, ended, isOver: true, resumed: calling.resumed + 1, tries: calling.tries - 1 },
    });
    setDue(draft, { kind: 'call-again', at: draft.world.now + resumeMinutes * minuteMs });
    return;
  }
  notReached(draft, { ...calling, ended });
}

/** It is time to ring again. */
export function callAgain(draft: Draft): void {
  const { state, world } = draft;
  const { calling } = state;
  if (calling === undefined || calling === null) return;
  if (calling.why === 'safety' && !isDangerOpen(draft)) return endCalling(draft);
  // Broken off, or no word of the last one: not for ever.
  if (calling.tries > waitMinutes[calling.why].length) return giveUp(draft, calling);
  if (calling.why !== 'safety') {
    const isWanted = state.standing === 'enrolled' || calling.why === 'call-back';
    if (!isWanted || (calling.why === 'question' && !isAsking(draft))) return endCalling(draft);
    if (calling.why === 'question' && !isWritingTime(world.now, world)) return giveUp(draft, calling);
  }
  place(draft, calling);
}

/** No key was heard any more: she is not there, whoever it was. */
export function notConfirmed(draft: Draft): void {
  const { calling } = draft.state;
  if (calling !== undefined && calling !== null) change(draft, { calling: { ...calling, confirmed: false } });
}

/** After keys: with nothing more to ask, or told goodbye, the call is done. */
export function endCallThatIsDone(draft: Draft, callId: string): void {
  const { calling } = draft.state;
  if (calling === undefined || calling === null || calling.callId !== callId || !calling.confirmed) return;
  if (draft.hangUp || !isAsking(draft)) endCalling(draft);
}

/** Nothing more is rung for. */
export function endCalling(draft: Draft): void {
  change(draft, { calling: null });
  dropDues(draft, (d) => d.kind === 'call-again');
}

function notReached(draft: Draft, calling: CallKept): void {
  const { world } = draft;
  const minutes = waitMinutes[calling.why][calling.tries - 1];
  if (minutes === undefined) return giveUp(draft, calling);
  const at = world.now + minutes * minuteMs;
  const isOtherDay = calling.why === 'question' && writingTime(at, world) !== at;
  if (isOtherDay) return giveUp(draft, calling);
  setDue(draft, { kind: 'call-again', at });
}

/** A question waits for her next text or ring, and for its flow's own end; safety words that nobody heard are a person's to say. */
function giveUp(draft: Draft, calling: CallKept): void {
  note(draft, 'not-reached-by-call', { why: calling.why, tries: calling.tries });
  endCalling(draft);
  if (calling.why === 'safety') tellOfNumber(draft, calling.mother, 'safety-not-heard');
  // Her phone never rang: that is no silence of hers.
  if (calling.why === 'question' && calling.ended === 'failed' && questionLost(draft, calling.mother))
    noteUndelivered(draft, null, true);
}

/** Whether a danger that was told still waits for a person, or for her answer. */
export function isDangerOpen({ state }: Draft): boolean {
  return state.unconfirmed !== null || state.alerts.some((a) => a.stage !== 'resolved');
}

function isAsking({ state, world }: Draft): boolean {
  return world.content.dialogs.standing(state.dialog).kind === 'asking';
}
