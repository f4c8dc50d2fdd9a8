/** What we know of the way of one message: its id without the line's, how far it came, and where it counts. */
export interface Carried {
  readonly id: string;
  readonly status: string;
  /** The row of the tally that it counts in; absent for a call. */
  readonly row?: string;
}

/**
 * How far each status is along the way. The carrier promises no order, and tells some twice, late or never: a lower one after a
 * higher one is old news. Delivered stands above every other end, since a handset may answer after the network gave up. `taken` and
 * `not-sent` are our own words. Source of the carrier's names: its published message and call states; the order from memory.
 */
const ranks: ReadonlyMap<string, number> = new Map([
  ['accepted', 0],
  ['scheduled', 0],
  ['queued', 1],
  ['taken', 1],
  ['sending', 2],
  ['sent', 3],
  ['not-sent', 4],
  ['canceled', 4],
  ['failed', 4],
  ['undelivered', 4],
  ['partially_delivered', 4],
  ['busy', 4],
  ['no-answer', 4],
  ['completed', 5],
  ['delivered', 5],
  ['read', 5],
]);
const ended = 4;
const arrived = 5;

/** How many messages of a line are remembered: receipts come within minutes, rarely within a day. */
const keptMessages = 12;

export function hasArrived(status: string): boolean {
  return ranks.get(status) === arrived;
}

export function isLost(status: string): boolean {
  return ranks.get(status) === ended;
}

/** What a receipt changed. `before` is undefined for a message not heard of till now. */
export interface Heard {
  readonly carried: readonly Carried[];
  readonly before: Carried | undefined;
  readonly isNews: boolean;
}

/**
 * Takes in one receipt. It is news only when it brings the message further: repeated, late and shuffled ones change nothing, and
 * an end is told once. Of a message older than all that are remembered nothing is news.
 * @param id of the message, without the line's id: turn and place, "12.0"
 */
export function hear(carried: readonly Carried[], id: string, status: string): Heard {
  const before = carried.find((c) => c.id === id);
  const rank = ranks.get(status);
  const old = { carried, before, isNews: false };
  if (rank === undefined) return old;
  if (before === undefined) {
    const oldest = carried.length < keptMessages ? undefined : carried[0];
    if (oldest !== undefined && turnOf(id) <= turnOf(oldest.id)) return old;
    return { carried: withSent(carried, [{ id, status }]), before, isNews: true };
  }
  const known = ranks.get(before.status) ?? 0;
  if (rank <= known) return old;
  return { carried: carried.map((c) => (c === before ? { ...c, status } : c)), before, isNews: true };
}

/** Remembers messages that were just written to the outbox. */
export function withSent(carried: readonly Carried[], sent: readonly Carried[]): readonly Carried[] {
  return [...carried, ...sent].slice(-keptMessages);
}

function turnOf(id: string): number {
  return Number(id.split('.')[0]);
}
