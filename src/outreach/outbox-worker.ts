import type { Carrier } from '../channels/carrier.ts';
import type { LineEvent } from '../dialog/event.ts';
import type { LineId } from '../dialog/line.ts';
import type { OutboxMessage, SendOutcome, Store, TakenMessage } from '../store/store.ts';
import type { Clock } from '../web/line-service.ts';
import { CarrierRefused } from '../errors.ts';
import { type GivenUp, readGiveUp } from './give-up.ts';
import { loop, type Loop } from './loop.ts';
import { failedOutcome, isWorthTwice } from './send-outcome.ts';
import { senderPace } from './sender-pace.ts';

export interface OutboxWorkerParts {
  readonly store: Store;
  readonly carrier: Carrier;
  readonly clock: Clock;
  /** Messages a second handed to the carrier; without it no limit. */
  readonly perSecond?: number;
  /** Tells a line that one of its messages will not be sent. */
  readonly tell: (lineId: LineId, event: LineEvent) => Promise<void>;
  readonly onTrouble: (error: unknown) => void;
  /** Told of each message that this worker sent or tried to, and of each look into the outbox. */
  readonly onSend?: (message: TakenMessage, outcome: SendOutcome) => void;
  readonly onLook?: (at: 'outbox') => void;
}

/**
 * Longer than the carrier's time-out of 10 seconds, so that a living worker keeps what it has; no longer, since an alert that a
 * dead one held waits as long. Where a living one stalls all the same, an alert goes out twice and a routine text does not.
 */
const leaseMs = 15_000;
const atOnce = 20;
/** An alert must not wait long behind the carrier's "not now". */
const longestPauseMs = 30_000;

/** Sends what waits, most urgent first. A message is never dropped in silence: its line is told. */
export function outboxWorker(parts: OutboxWorkerParts): Loop {
  const { store, carrier, clock, onTrouble } = parts;
  const pace = senderPace(parts.perSecond);

  const send = async (message: TakenMessage, takenAt: number): Promise<void> => {
    // A process that stood still wakes up here: the message is somebody else's by now.
    if (clock.now() >= takenAt + leaseMs) return;
    const outcome = await outcomeOfSending(message);
    const isMine = await store.settleMessage(message.id, message.leaseToken, outcome);
    if (!isMine) return;
    parts.onSend?.(message, outcome);
    if (outcome.kind === 'gave-up') await tellEnd(message, readGiveUp(outcome.why));
    if (outcome.kind === 'sent' && outcome.tellLine === true) await tellEnd(message, { status: 'taken' });
  };

  /** Tells the line, and then notes that it was told: the line itself does nothing twice for one id. */
  const tellEnd = async (
    message: OutboxMessage,
    end: GivenUp | { readonly status: 'taken' },
  ): Promise<void> => {
    const id = `${end.status === 'taken' ? 'taken' : 'gave-up'} ${message.id}`;
    await parts.tell(message.lineId, {
      kind: 'receipt',
      id,
      outboxId: message.id,
      errorCode: null,
      message,
      ...end,
    });
    await store.noteTold(message.id);
  };

  /** What was too late, and what a worker that died had settled: their lines are told now. */
  const tellTheRest = async (): Promise<void> => {
    for (const record of await store.untold(atOnce)) {
      const end = record.state === 'sent' ? ({ status: 'taken' } as const) : readGiveUp(record.why);
      await tellEnd(record, end).catch(onTrouble);
    }
  };

  const outcomeOfSending = async (message: TakenMessage): Promise<SendOutcome> => {
    const now = clock.now();
    if (message.sendBefore !== null && now > message.sendBefore)
      return { kind: 'gave-up', at: now, why: 'too late' };
    if (message.mayHaveBeenSent && !isWorthTwice(message.purpose)) {
      return { kind: 'gave-up', at: now, why: 'may have been sent' };
    }
    try {
      const { id, to, body } = message;
      const sent =
        message.channel === 'call'
          ? carrier.placeCall({ id, to })
          : carrier.sendText({ id, to, body, ...validity(message, now) });
      const { carrierId } = await sent;
      // An alert counts as told when the carrier has it, and its line must know that even if no receipt ever comes.
      const tellLine = message.purpose === 'alert' ? { tellLine: true } : {};
      return { kind: 'sent', carrierId, at: clock.now(), ...tellLine };
    } catch (error) {
      onTrouble(error);
      const outcome = failedOutcome(message, error, clock.now());
      // Too much at once, or an account out of order, is true of the next message too.
      const isForAll =
        error instanceof CarrierRefused && (error.fault === 'busy' || error.fault === 'set-up');
      if (isForAll && outcome.kind === 'again')
        pace.pauseUntil(Math.min(outcome.at, clock.now() + longestPauseMs));
      return outcome;
    }
  };

  return loop(1_000, onTrouble, async (goOn) => {
    while (goOn()) {
      // Most urgent first: when there is not enough for all, alerts and safety texts are what goes.
      const free = Math.min(atOnce, pace.free(clock.now()));
      const takenAt = clock.now();
      const taken = free < 1 ? [] : await store.takeOutbox(takenAt, free, leaseMs);
      pace.spend(taken.length);
      await Promise.all(taken.map((message) => send(message, takenAt).catch(onTrouble)));
      parts.onLook?.('outbox');
      if (taken.length > 0) continue;
      await tellTheRest();
      return;
    }
  });
}

/** The carrier too must not deliver it late. */
function validity(message: TakenMessage, now: number): { readonly validForSeconds?: number } {
  if (message.sendBefore === null) return {};
  return { validForSeconds: Math.min(36_000, Math.max(60, Math.round((message.sendBefore - now) / 1000))) };
}
