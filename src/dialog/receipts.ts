import { noteNotified, noteNotReached } from '../counsel/alerts.ts';
import { hasArrived, hear, isLost } from './carried.ts';
import { columnOf, count } from './delivery-tally.ts';
import { change, type Draft, hourMs, note } from './draft.ts';
import type { LineEvent } from './event.ts';
import { noteReached, noteUndelivered } from './her-number.ts';
import { callOver } from './ring-her.ts';
import { routineArrived, routineLost } from './routine-sent.ts';
import { callForSafetyText, safetyTextArrived } from './safety-text.ts';
import { writingTime } from './writing-hours.ts';

type ReceiptEvent = Extract<LineEvent, { kind: 'receipt' }>;

/**
 * The carrier's word on a message of this line, or ours that it was not sent. Only news counts: late, repeated and shuffled receipts
 * change nothing. An alert that was taken has notified somebody; one that is lost climbs soon. A safety text that is lost is said by call.
 */
export function onReceipt(draft: Draft, event: ReceiptEvent): void {
  const { outboxId, status, errorCode, mayHaveBeenSent } = event;
  note(draft, 'receipt', {
    message: outboxId,
    status,
    error: errorCode,
    ...(mayHaveBeenSent === true ? { mayHaveBeenSent } : {}),
  });
  const id = outboxId.slice(draft.lineId.length + 1);
  // What may have gone out is neither lost nor there: a receipt may still tell.
  const heard = hear(draft.state.carried ?? [], id, mayHaveBeenSent === true ? 'taken' : status);
  if (!heard.isNews) return;
  change(draft, { carried: heard.carried });
  tally(draft, heard.before?.row, heard.before?.status, status);
  const alert = draft.state.alerts.find((a) => outboxId.includes(`!${a.id}!`));
  if (alert !== undefined) {
    if (isLost(status) && !isBusy(status)) noteNotReached(draft, alert.id, outboxId);
    else if (['taken', 'sent'].includes(status) || hasArrived(status)) noteNotified(draft, alert.id);
    return;
  }
  if (mayHaveBeenSent === true) return;
  if (isCall(event)) {
    if (isLost(status)) callOver(draft, outboxId, 'failed');
    return;
  }
  if (hasArrived(status)) {
    safetyTextArrived(draft, id);
    routineArrived(draft, id);
    if (isToHer(event)) noteReached(draft);
  } else if (isLost(status)) {
    const wasQuestion = routineLost(draft, id);
    if (isToHer(event)) noteUndelivered(draft, event.fault ?? null, wasQuestion);
    callForSafetyText(draft, id);
    sendOnceMore(draft, event);
  }
}

/** A counsellor's phone that is engaged has rung: it climbs at its usual time. */
function isBusy(status: string): boolean {
  return status === 'busy' || status === 'no-answer';
}

function isCall({ message }: ReceiptEvent): boolean {
  return message?.channel === 'call';
}

/** A direct reply is kept in no outbox: its receipts come without a message. */
function isToHer({ message }: ReceiptEvent): boolean {
  return message === undefined || message.receiver === 'line';
}

function tally(draft: Draft, row: string | undefined, before: string | undefined, status: string): void {
  const from = before === undefined ? undefined : columnOf(before);
  const to = columnOf(status);
  if (row === undefined || from === to) return;
  const delivery = draft.state.delivery ?? {};
  const less = from === undefined ? delivery : count(delivery, row, { [from]: -1 });
  change(draft, { delivery: to === undefined ? less : count(less, row, { [to]: 1 }) });
}

/** Hours after which a text that did not reach a phone that was off is sent again. Common practice, no source. */
const onceMoreAfterHours = [1, 6] as const;

/**
 * Words of a counsellor and follow-ups that did not reach her phone are sent again, later. Not a check-in or a tip: another day has
 * another. Not what is wrong with the number or the words: that would fail again.
 */
function sendOnceMore(draft: Draft, { message, fault }: ReceiptEvent): void {
  if (message === undefined || message.receiver !== 'line' || draft.state.standing !== 'enrolled') return;
  if (message.purpose !== 'reply' && message.purpose !== 'follow-up') return;
  const passes = fault === 'unreachable' || fault === 'passing' || fault === 'unknown' || fault === 'busy';
  const sentAgain = Number(/~(\d)$/.exec(message.id)?.[1] ?? 0);
  const hours = onceMoreAfterHours[sentAgain];
  if (!passes || hours === undefined) return;
  const { world } = draft;
  draft.sends.push({
    to: { kind: 'line' },
    channel: 'text',
    says: [],
    words: message.body,
    again: sentAgain + 1,
    purpose: message.purpose,
    notBefore: writingTime(world.now + hours * hourMs, world),
    sendBefore: null,
  });
}
