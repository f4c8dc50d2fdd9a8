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

/**
 * True when two receiver marks may be the same person. Marks of two keys cannot be compared, so they count as the same:
 * after a rotation a text may wait for an earlier one, which does less harm than overtaking it.
 */
export function mayBeSameReceiver(one: string, other: string): boolean {
  return one === other || one.slice(0, one.indexOf('.')) !== other.slice(0, other.indexOf('.'));
}
