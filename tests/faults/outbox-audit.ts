import type { OutboxRecord } from '../../src/store/store.ts';
import type { Posted } from './outbox-lines.ts';

/** What is known when all is over. */
export interface OutboxFound {
  readonly posted: readonly Posted[];
  /** Ids of messages in the order in which the carrier took them, again for each time. */
  readonly taken: readonly string[];
  /** As they lie in the store. */
  readonly records: ReadonlyMap<string, OutboxRecord | undefined>;
  /** Ids of messages of which their line was told that they were not sent. */
  readonly toldNotSent: ReadonlySet<string>;
  /** Ids of alerts of which their line was told that the carrier has them. */
  readonly toldTaken: ReadonlySet<string>;
  /** Messages that still wait, and ends of which nobody told. */
  readonly left: number;
}

/**
 * All that must hold of an outbox whatever its worker and its carrier went through: every safety text and alert was sent at least
 * once, no check-in and no tip twice, nothing is left, and every end that a line must know was told to it.
 * @returns what does not hold, an empty list when all does
 */
export function outboxFaults(found: OutboxFound): readonly string[] {
  const faults: string[] = [];
  if (found.left > 0) faults.push(`${found.left} left behind`);
  for (const { id, purpose } of found.posted) {
    const times = found.taken.filter((t) => t === id).length;
    const record = found.records.get(id);
    const isUrgent = purpose === 'safety' || purpose === 'alert';
    if (isUrgent && times === 0) faults.push(`${purpose} ${id} was never sent`);
    if (!isUrgent && times > 1) faults.push(`${purpose} ${id} was sent ${times} times`);
    if (record?.state !== 'sent' && record?.state !== 'gave-up') {
      faults.push(`${purpose} ${id} is ${record?.state ?? 'gone'}`);
      continue;
    }
    // Dropped without having gone out, and nobody knows: the worst of a routine message.
    if (record.state === 'gave-up' && !found.toldNotSent.has(id))
      faults.push(`${purpose} ${id} was given up untold`);
    if (record.state === 'sent' && times === 0)
      faults.push(`${purpose} ${id} is sent for us and not for the carrier`);
    if (record.state === 'sent' && purpose === 'alert' && !found.toldTaken.has(id))
      faults.push(`${purpose} ${id} was taken and its line does not know`);
  }
  return faults;
}
