import type { LineId } from '../../src/dialog/line.ts';
import type {
  MessagePurpose,
  OutboxRecord,
  SendOutcome,
  Store,
  TakenMessage,
} from '../../src/store/store.ts';

/** A message as taken for sending, to a number from Ofcom's range for fiction. */
export function taken(id: string, purpose: MessagePurpose, of: Partial<TakenMessage> = {}): TakenMessage {
  return {
    id,
    lineId: 'line' as LineId,
    channel: 'text',
    to: '+447700900123',
    body: 'words',
    language: 'en',
    purpose,
    priority: 1,
    notBefore: 0,
    sendBefore: null,
    receiver: 'line',
    attempts: 0,
    mayHaveBeenSent: false,
    leaseToken: `lease of ${id}`,
    ...of,
  };
}

/** The methods of the store that the outbox worker uses; gives out each message once. */
export function outboxOf(messages: readonly TakenMessage[]) {
  const waiting = [...messages];
  const settled = new Map<string, SendOutcome>();
  const lost = new Set<string>();
  const untold: OutboxRecord[] = [];
  const store: Pick<Store, 'takeOutbox' | 'settleMessage' | 'untold' | 'noteTold'> = {
    takeOutbox: async (_now, limit) => waiting.splice(0, limit),
    settleMessage: async (id, _token, outcome) => {
      if (lost.has(id)) return false;
      settled.set(id, outcome);
      return true;
    },
    untold: async (limit) => untold.slice(0, limit),
    noteTold: async (id) => {
      const at = untold.findIndex((m) => m.id === id);
      if (at >= 0) untold.splice(at, 1);
    },
  };
  return { store: store as Store, settled, lost, untold };
}
