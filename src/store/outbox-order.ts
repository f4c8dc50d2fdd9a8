import type { OutboxMessage } from './store.ts';

/** What is sealed of a message: all that tells who or what. */
export interface SealedFields {
  readonly to: string;
  readonly body: string;
  readonly receiver: string;
}

/** The fields of a message that are sealed together, in one go. */
export function fieldsToSeal({ to, body, receiver }: OutboxMessage): string {
  return JSON.stringify([to, body, receiver]);
}

/** The way back from `fieldsToSeal`. */
export function sealedFieldsOf(text: string): SealedFields {
  const [to, body, receiver] = JSON.parse(text) as [string, string, string];
  return { to, body, receiver };
}

/** What the order of one line's messages is made from. */
export interface Queued {
  readonly priority: number;
  /** The receiver's mark, from `Sealer.mark`. */
  readonly mark: string;
}

/**
 * True when one of the messages written before must go first: same receiver, same or higher urgency, not yet done.
 * Marks of two keys cannot be compared, so they count as the same receiver: after a rotation a text may wait for an earlier
 * one, which does less harm than overtaking it.
 */
export function mustWait({ priority, mark }: Queued, before: readonly Queued[]): boolean {
  return before.some((earlier) => earlier.priority <= priority && mayBeSameReceiver(earlier.mark, mark));
}

function mayBeSameReceiver(one: string, other: string): boolean {
  return one === other || keyOf(one) !== keyOf(other);
}

function keyOf(mark: string): string {
  return mark.slice(0, mark.indexOf('.'));
}
