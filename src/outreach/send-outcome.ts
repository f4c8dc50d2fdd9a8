import type { CarrierFault } from '../channels/carrier.ts';
import { CarrierRefused, CarrierUnreachable } from '../errors.ts';
import type { MessagePurpose, SendOutcome, TakenMessage } from '../store/store.ts';
import { giveUpWords } from './give-up.ts';
import { jitterOf } from './jitter.ts';

/** A duplicate of these beats silence; a duplicate of the others is a cost and a worry to her. */
const worthTwice: ReadonlySet<MessagePurpose> = new Set(['safety', 'alert', 'reply', 'sign-in']);
/** Never given up for being hard to send. */
const neverGivenUp: ReadonlySet<MessagePurpose> = new Set(['safety', 'alert']);

const firstWaitMs = 5_000;
const longestWaitMs = 15 * 60_000;
/** An alert or safety text is never given up for being hard to send, so it must not be put off long either. */
const longestUrgentWaitMs = 2 * 60_000;
/** The account is being mended by a person: asking every few seconds helps nobody. */
const setUpWaitMs = 60_000;

/** How a kind of trouble is met. `again`: it is tried again, at most so often unless it is an alert or a safety text. */
type Way =
  | { readonly kind: 'gave-up' }
  | { readonly kind: 'again'; readonly mostTries: number; readonly evenIfNeverGivenUp?: boolean };

/**
 * What is done about each fault. The carrier warns that numbers it never documented can come: those are tried again, three times, and
 * then given up and told, an alert too, so that it climbs. Tries are common practice, no source.
 */
const ways: Readonly<Record<CarrierFault, Way>> = {
  busy: { kind: 'again', mostTries: 12 },
  passing: { kind: 'again', mostTries: 8 },
  unreachable: { kind: 'again', mostTries: 8 },
  'set-up': { kind: 'again', mostTries: 30 },
  unknown: { kind: 'again', mostTries: 3, evenIfNeverGivenUp: true },
  'wrong-number': { kind: 'gave-up' },
  landline: { kind: 'gave-up' },
  'opted-out': { kind: 'gave-up' },
  refused: { kind: 'gave-up' },
  'too-late': { kind: 'gave-up' },
};

/** Whether a message that may have gone out already is sent once more. */
export function isWorthTwice(purpose: MessagePurpose): boolean {
  return worthTwice.has(purpose);
}

/**
 * What to do with a message that the carrier did not take. Waits double from 5 s, spread by a number made from the message's id, so
 * that what failed together does not come back together.
 * @param now epoch milliseconds
 */
export function failedOutcome(message: TakenMessage, error: unknown, now: number): SendOutcome {
  if (error instanceof CarrierUnreachable && error.mayHaveSent) {
    if (!isWorthTwice(message.purpose)) return { kind: 'gave-up', at: now, why: 'may have been sent' };
    return againOr(message, now, { words: 'may have been sent', mostTries: 8, mayHaveBeenSent: true });
  }
  if (error instanceof CarrierRefused) {
    const { fault, carrierCode, retryAfterMs } = error;
    const words = giveUpWords(fault, carrierCode);
    const way = ways[fault];
    if (way.kind === 'gave-up') return { kind: 'gave-up', at: now, why: words };
    const atLeastMs = Math.max(retryAfterMs ?? 0, fault === 'set-up' ? setUpWaitMs : 0);
    return againOr(message, now, { words, ...way, atLeastMs });
  }
  return againOr(message, now, { words: 'no answer', mostTries: 8 });
}

interface Again {
  readonly words: string;
  readonly mostTries: number;
  readonly evenIfNeverGivenUp?: boolean;
  readonly atLeastMs?: number;
  readonly mayHaveBeenSent?: boolean;
}

function againOr(message: TakenMessage, now: number, again: Again): SendOutcome {
  const { words: why, mostTries, evenIfNeverGivenUp = false, atLeastMs = 0, mayHaveBeenSent = false } = again;
  const { attempts, purpose, sendBefore } = message;
  const hasEnd = evenIfNeverGivenUp || !neverGivenUp.has(purpose);
  if (hasEnd && attempts + 1 >= mostTries) return { kind: 'gave-up', at: now, why };
  const longest = isWorthTwice(purpose) ? longestUrgentWaitMs : longestWaitMs;
  const wait = Math.min(firstWaitMs * 2 ** Math.min(attempts, 30), longest);
  const at = now + Math.round(Math.max(atLeastMs, wait * (0.5 + jitterOf(message.id, attempts) / 2)));
  // It could only be late: whoever waits for it is told now.
  if (sendBefore !== null && at > sendBefore) return { kind: 'gave-up', at: now, why };
  return { kind: 'again', at, why, mayHaveBeenSent };
}
