import type { LineCommit, WholeLine } from './store.ts';

/** The latest instant that every store can order exactly: the year 2109, in epoch milliseconds. */
const latest = 2 ** 42 - 1;

/** What a commit and a whole line have in common. */
type Checked = Pick<LineCommit, 'lineId' | 'nextDueAt' | 'journal' | 'outbox' | 'alerts'>;

/**
 * Both stores refuse the same faults of the caller before anything is sent to them: an instant or count that is not a whole
 * number, and a message or alert of another line.
 * @throws RangeError naming the field, never its words
 */
export function checkCommit(change: LineCommit): void {
  whole('expectedVersion', change.expectedVersion, 2 ** 32 - 2);
  checkParts(change);
}

/**
 * As `checkCommit`; also a journal with gaps, and a version that no commit could have made.
 * @throws RangeError naming the field, never its words
 */
export function checkWholeLine(line: WholeLine): void {
  whole('version', line.version, 2 ** 32 - 1);
  if (line.version === 0) throw new RangeError('The version of a whole line must be 1 or more, not 0.');
  checkParts(line);
  for (const [index, { seq }] of line.journal.entries()) {
    if (seq !== index + 1)
      throw new RangeError(`Entry ${index + 1} of the journal of line ${line.lineId} has seq ${seq}.`);
  }
  for (const { inbound, keptAt } of line.replies) {
    whole('inbound of a reply', inbound, 2 ** 48 - 1);
    whole('keptAt of a reply', keptAt);
  }
  for (const { attempts, leaseUntil, settledAt } of line.outbox) {
    whole('attempts of a message', attempts);
    whole('leaseUntil of a message', leaseUntil);
    if (settledAt !== null) whole('settledAt of a message', settledAt);
  }
}

function checkParts({ lineId, nextDueAt, journal, outbox, alerts }: Checked): void {
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
