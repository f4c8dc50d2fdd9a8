import type { LineId } from '../../dialog/line.ts';
import { fieldsToSeal, sealedFieldsOf } from '../outbox-order.ts';
import type { Sealer } from '../sealing.ts';
import type { OutboxMessage, OutboxRecord, TakenMessage, WholeMessage } from '../store.ts';

/** The JSON head of a message; see `messageLua` for its places. */
export type MessageHead = readonly [
  LineId,
  OutboxMessage['channel'],
  string,
  OutboxMessage['purpose'],
  number,
  number,
  string,
  number,
  number,
  OutboxRecord['state'],
  number,
  number,
  string,
  string,
  string,
];

/** A message as it lies in the store, opened. `leaseUntil` is 0 and `settledAt` null where that is kept elsewhere. */
export interface KeptMessage {
  readonly message: OutboxMessage;
  readonly became: Pick<OutboxRecord, 'state' | 'attempts' | 'carrierId' | 'why'>;
  readonly mayHaveBeenSent: boolean;
  readonly leaseUntil: number;
  readonly settledAt: number | null;
  /** The order of writing in its shard; 0 in a pack, where it no longer counts. */
  readonly seq: number;
  readonly leaseToken: string;
}

/** A message as the scripts take it: id, JSON head, sealed fields. */
export function messageArguments(
  sealer: Sealer,
  message: OutboxMessage | WholeMessage,
): readonly (string | Buffer)[] {
  const { id, lineId, channel, language, purpose, priority, sendBefore, notBefore, receiver } = message;
  const whole = 'state' in message ? message : undefined;
  const head: MessageHead = [
    lineId,
    channel,
    language,
    purpose,
    priority,
    sendBefore ?? -1,
    sealer.mark(receiver, lineId),
    0,
    notBefore,
    whole?.state ?? 'waiting',
    whole?.attempts ?? 0,
    whole?.mayHaveBeenSent ? 1 : 0,
    '',
    whole?.carrierId ?? '',
    whole === undefined || whole.why === null ? '' : sealedWhy(sealer, whole.why, id),
  ];
  return [id, JSON.stringify(head), sealer.seal(fieldsToSeal(message), id, 'message')];
}

export function sealedWhy(sealer: Sealer, why: string, id: string): string {
  return sealer.seal(why, id, 'why').toString('base64');
}

/** @param kept JSON head, a zero byte, sealed fields */
export function openKept(
  sealer: Sealer,
  id: string,
  kept: Buffer,
  settledAt: number | null = null,
): KeptMessage {
  const cut = kept.indexOf(0);
  const head = JSON.parse(kept.toString('utf8', 0, cut)) as MessageHead;
  const [lineId, channel, language, purpose, priority, sendBefore, , seq, notBefore, state] = head;
  const [attempts, maybe, leaseToken, carrierId, why] = head.slice(10) as [
    number,
    number,
    string,
    string,
    string,
  ];
  return {
    message: {
      ...{ id, lineId, channel, language, purpose, priority, notBefore },
      ...sealedFieldsOf(sealer.open(kept.subarray(cut + 1), id, 'message')),
      sendBefore: sendBefore < 0 ? null : sendBefore,
    },
    became: {
      ...{ state, attempts, carrierId: carrierId === '' ? null : carrierId },
      why: why === '' ? tooLate(state) : sealer.open(Buffer.from(why, 'base64'), id, 'why'),
    },
    ...{ mayHaveBeenSent: maybe === 1, leaseUntil: 0, settledAt, seq, leaseToken },
  };
}

/** A message is given up without a word only because its time was over. */
function tooLate(state: OutboxRecord['state']): string | null {
  return state === 'gave-up' ? 'too late to send' : null;
}

/** What the port tells of a message. */
export function recordOf({ message, became }: KeptMessage): OutboxRecord {
  return { ...message, ...became };
}

/** What a whole line tells of it. */
export function wholeOf({
  message,
  became,
  mayHaveBeenSent,
  leaseUntil,
  settledAt,
}: KeptMessage): WholeMessage {
  return { ...message, ...became, mayHaveBeenSent, leaseUntil, settledAt };
}

/** What its taker is told. */
export function takenOf({ message, became, mayHaveBeenSent, leaseToken }: KeptMessage): TakenMessage {
  return { ...message, attempts: became.attempts, mayHaveBeenSent, leaseToken };
}

/** A settled message as a pack keeps it: one line of JSON. */
export function packedMessage(m: WholeMessage): string {
  const { channel, language, purpose, priority, sendBefore, notBefore, state, attempts, settledAt } = m;
  return JSON.stringify([
    ...[m.id, channel, m.to, m.body, m.receiver, language, purpose, priority, sendBefore, notBefore],
    ...[state, attempts, m.mayHaveBeenSent, m.carrierId, m.why, settledAt],
  ]);
}

/** The way back from `packedMessage`. */
export function packedMessageOf(text: string, lineId: LineId): KeptMessage {
  const [id, channel, to, body, receiver, language, purpose, priority, sendBefore, notBefore, ...rest] =
    JSON.parse(text) as [
      string,
      OutboxMessage['channel'],
      string,
      string,
      string,
      string,
      OutboxMessage['purpose'],
      number,
      number | null,
      number,
    ];
  const [state, attempts, mayHaveBeenSent, carrierId, why, settledAt] = rest as unknown as [
    OutboxRecord['state'],
    number,
    boolean,
    string | null,
    string | null,
    number,
  ];
  return {
    message: { id, lineId, channel, to, body, language, purpose, priority, notBefore, sendBefore, receiver },
    became: { state, attempts, carrierId, why },
    ...{ mayHaveBeenSent, leaseUntil: 0, settledAt, seq: 0, leaseToken: '' },
  };
}
