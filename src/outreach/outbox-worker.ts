import type { Carrier } from '../channels/carrier.ts';
import type { LineEvent } from '../dialog/event.ts';
import type { LineId } from '../dialog/line.ts';
import type { SendOutcome, Store, TakenMessage } from '../store/store.ts';
import type { Clock } from '../web/line-service.ts';
import { loop, type Loop } from './loop.ts';
import { failedOutcome, isWorthTwice } from './send-outcome.ts';

export interface OutboxWorkerParts {
  readonly store: Store;
  readonly carrier: Carrier;
  readonly clock: Clock;
  /** 0 to 1. */
  readonly random: () => number;
  /** Tells a line that one of its messages will not be sent. */
  readonly tell: (lineId: LineId, event: LineEvent) => Promise<void>;
  readonly onTrouble: (error: unknown) => void;
  /** Told of each message that this worker sent or tried to, and of each look into the outbox. */
  readonly onSend?: (message: TakenMessage, outcome: SendOutcome) => void;
  readonly onLook?: (at: 'outbox') => void;
}

/** Claimed again after a minute and not sooner: sending twice frightens a mother, sending a little late does not. */
const leaseMs = 60_000;
const atOnce = 20;

/** Sends what waits, most urgent first. A message is never dropped in silence: its line is told. */
export function outboxWorker(parts: OutboxWorkerParts): Loop {
  const { store, carrier, clock, onTrouble } = parts;

  const send = async (message: TakenMessage): Promise<void> => {
    const outcome = await outcomeOfSending(message);
    const isMine = await store.settleMessage(message.id, message.leaseToken, outcome);
    if (!isMine) return;
    parts.onSend?.(message, outcome);
    const tell = (what: string, status: string) =>
      parts.tell(message.lineId, {
        kind: 'receipt',
        id: `${what} ${message.id}`,
        outboxId: message.id,
        status,
        errorCode: null,
      });
    // An alert counts as told when the carrier has it, and its line must know that even if no receipt ever comes.
    if (outcome.kind === 'sent' && message.purpose === 'alert') await tell('taken', 'taken');
    if (outcome.kind === 'gave-up') await tell('gave-up', 'not-sent');
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
      return { kind: 'sent', carrierId: (await sent).carrierId, at: clock.now() };
    } catch (error) {
      onTrouble(error);
      return failedOutcome(message, error, clock.now(), parts.random());
    }
  };

  return loop(1_000, onTrouble, async (goOn) => {
    while (goOn()) {
      const taken = await store.takeOutbox(clock.now(), atOnce, leaseMs);
      await Promise.all(taken.map((message) => send(message).catch(onTrouble)));
      parts.onLook?.('outbox');
      if (taken.length === 0) return;
    }
  });
}

/** The carrier too must not deliver it late. */
function validity(message: TakenMessage, now: number): { readonly validForSeconds?: number } {
  if (message.sendBefore === null) return {};
  return { validForSeconds: Math.min(36_000, Math.max(60, Math.round((message.sendBefore - now) / 1000))) };
}
