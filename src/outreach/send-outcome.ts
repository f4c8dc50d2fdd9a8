import { CarrierRefused, CarrierUnreachable } from '../errors.ts';
import type { MessagePurpose, SendOutcome, TakenMessage } from '../store/store.ts';

/** A duplicate of these beats silence; a duplicate of the others is a cost and a worry to her. */
const worthTwice: ReadonlySet<MessagePurpose> = new Set(['safety', 'alert', 'reply', 'sign-in']);

/** The carrier's errors that time mends: too many requests, full queue, its own trouble. From its published error codes. */
const passing: ReadonlySet<number> = new Set([20429, 21611, 30001, 30500, 30021, 20500, 20503]);

const firstWaitMs = 5_000;
const longestWaitMs = 15 * 60_000;
/** An alert or safety text is never given up for being hard to send, so it must not be put off long either. */
const longestUrgentWaitMs = 2 * 60_000;
const mostRoutineTries = 8;

export function isWorthTwice(purpose: MessagePurpose): boolean {
  return worthTwice.has(purpose);
}

/**
 * What to do with a message that the carrier did not take.
 * @param jitter 0 to 1, spreads what failed together
 */
export function failedOutcome(
  message: TakenMessage,
  error: unknown,
  now: number,
  jitter: number,
): SendOutcome {
  const isUrgent = isWorthTwice(message.purpose);
  const wait = Math.min(firstWaitMs * 2 ** message.attempts, isUrgent ? longestUrgentWaitMs : longestWaitMs);
  const at = now + Math.round(wait * (0.5 + jitter / 2));
  const again = (why: string, mayHaveBeenSent: boolean): SendOutcome =>
    !isUrgent && message.attempts + 1 >= mostRoutineTries
      ? { kind: 'gave-up', at: now, why }
      : { kind: 'again', at, why, mayHaveBeenSent };
  if (error instanceof CarrierUnreachable) {
    if (!error.mayHaveSent) return again('unreachable', false);
    return isUrgent
      ? again('may have been sent', true)
      : { kind: 'gave-up', at: now, why: 'may have been sent' };
  }
  if (error instanceof CarrierRefused) {
    const code = error.carrierCode;
    const isPassing = error.httpStatus === 429 || (code !== undefined && passing.has(code));
    return isPassing
      ? again(`refused ${code ?? 429}`, false)
      : { kind: 'gave-up', at: now, why: `refused ${code ?? 'without a code'}` };
  }
  return again('failed', false);
}
