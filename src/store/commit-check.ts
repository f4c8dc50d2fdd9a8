import type { LineCommit } from './store.ts';

/** The latest instant that every store can order exactly: the year 2109, in epoch milliseconds. */
const latest = 2 ** 42 - 1;

/**
 * Both stores refuse the same faults of the caller before anything is sent to them: an instant or count that is not a whole
 * number, and a message or alert of another line.
 * @throws RangeError naming the field, never its words
 */
export function checkCommit({
  lineId,
  expectedVersion,
  nextDueAt,
  journal,
  outbox,
  alerts,
}: LineCommit): void {
  whole('expectedVersion', expectedVersion, 2 ** 32 - 2);
  if (nextDueAt !== null) whole('nextDueAt', nextDueAt);
  for (const { at } of journal) whole('at of a journal entry', at);
  for (const message of outbox) {
    if (message.lineId !== lineId)
      throw new RangeError(`Message ${message.id} is of another line than the commit.`);
    whole('priority of a message', message.priority, 9);
    whole('notBefore of a message', message.notBefore);
    if (message.sendBefore !== null) whole('sendBefore of a message', message.sendBefore);
  }
  for (const alert of alerts) {
    if (alert.lineId !== lineId)
      throw new RangeError(`Alert ${alert.alertId} is of another line than the commit.`);
    whole('raisedAt of an alert', alert.raisedAt);
  }
}

function whole(field: string, value: number, max = latest): void {
  if (!Number.isSafeInteger(value) || value < 0 || value > max) {
    throw new RangeError(`The ${field} must be a whole number from 0 to ${max}, not ${value}.`);
  }
}
