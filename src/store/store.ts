import type { LineId } from '../dialog/line.ts';

/**
 * The store: what is kept, and the promises about it. Two stores pass the one contract suite in `tests/contract`.
 *
 * Deliberately not here: connections, transactions, key names, tables, batching, sealing keys. A store may group commits,
 * but a commit's promise settles only when its change is durable.
 *
 * Every method throws `StoreUnavailable` when the store cannot be used; then nothing of that call was kept, unless only the
 * answer was lost on its way back from another machine (see `commit`).
 */
export interface Store {
  /** The line as last committed, or undefined when nothing of it is kept. SQLite gives the same string while it is unchanged. */
  load(lineId: LineId): Promise<StoredLine | undefined>;

  /**
   * Write one turn, all or nothing, durable before the promise settles.
   * A second commit with an `inboundId` already kept for the line writes nothing and gives the first one's reply; this is
   * looked at before the version.
   * @throws StaleState when the line's version is no longer `expectedVersion`
   * @throws AlertCodeTaken when an alert's code is in use by another open alert
   * @throws RangeError for an instant that is not a whole number, or a message or alert of another line
   * @throws StoreUnavailable also when a message's id is already kept: a fault in the caller, refused whole. Over a network an
   *   answer can be lost after the change was kept, or replicas be too few to promise that it stays; the same `inboundId`, or the
   *   version, tells on the next try.
   */
  commit(change: LineCommit): Promise<CommitOutcome>;

  /** The reply kept for an inbound id of the line, if it was committed. Kept for two days, longer than any carrier repeats. */
  replyTo(inboundId: string, lineId: LineId): Promise<string | undefined>;

  /**
   * Take up to `limit` lines whose due time has come, earliest first. A taken line is not given again until `leaseMs` after
   * `now`, or until a commit sets its next due time. Nothing is lost if the taker dies.
   */
  takeDueLines(now: number, limit: number, leaseMs: number): Promise<readonly LineId[]>;

  /**
   * Take up to `limit` messages ready to be sent at `now`, most urgent first (lower `priority` first), then by `notBefore`. Of
   * one line's messages to one receiver a later one is never taken while an earlier one of the same or higher urgency is
   * waiting, even for a time to come, or held. A message whose lease ran out is given again with `mayHaveBeenSent` true, and
   * once true that stays. Messages past `sendBefore` are given up here.
   */
  takeOutbox(now: number, limit: number, leaseMs: number): Promise<readonly TakenMessage[]>;

  /**
   * Record what came of a taken message. Refused (false) when the lease was lost to another taker meanwhile: the caller must
   * not act again on it.
   */
  settleMessage(id: string, leaseToken: string, outcome: SendOutcome): Promise<boolean>;

  /**
   * Messages that have come to an end of which their line has not been told: all that were given up, by `takeOutbox` too, and
   * the sent ones that were settled with `tellLine`. Longest ended first. Whoever settles a message and dies leaves it here.
   */
  untold(limit: number): Promise<readonly OutboxRecord[]>;

  /** The line has been told of the message's end. Telling a line twice must do no harm: the note can come too late. */
  noteTold(id: string): Promise<void>;

  /**
   * One outgoing message by its id, whatever its state; kept for three days after it was sent or given up. Quickest for an id
   * that begins with the line's id and a dot.
   */
  message(id: string): Promise<OutboxRecord | undefined>;

  /** Where an open or closed alert lives, by its short code. Open alerts win over closed ones of the same code. */
  alertByCode(code: string): Promise<AlertEntry | undefined>;

  /** Open alerts of all lines, most urgent tier first, then oldest. */
  openAlerts(limit: number): Promise<readonly AlertEntry[]>;

  /** Journal entries of one line, oldest first, after `afterSeq` (exclusive) when given. */
  journal(lineId: LineId, limit: number, afterSeq?: number): Promise<readonly StoredJournalEntry[]>;

  /** Line ids in a stable order, after `after` (exclusive): for exports, moves and lists. Never used while a mother waits. */
  lineIds(limit: number, after?: LineId): Promise<readonly LineId[]>;

  /** Everything kept of one line, or undefined when it is not kept. Never used while a mother waits. */
  readLine(lineId: LineId): Promise<WholeLine | undefined>;

  /**
   * Put a whole line where there is none, durable before the promise settles. Where the line is kept already nothing is
   * written, so that a move may begin again: compare with `readLine`. What was given up is told to the line once more. To be used while nothing else writes to the line.
   * @throws AlertCodeTaken, RangeError and StoreUnavailable as `commit`
   */
  writeLine(whole: WholeLine): Promise<'written' | 'there'>;

  /**
   * Seal anew, by the newest key, what older ones sealed: everything of up to `limit` lines, from the place where the call before
   * ended. No line changes otherwise, nor its version. A value that somebody writes in the same moment is left as it is written.
   */
  reseal(limit: number, after?: string): Promise<Resealed>;

  /** How much is waiting: for health and metrics. */
  backlog(now: number): Promise<Backlog>;

  close(): Promise<void>;
}

/** A line as kept. `state` is the JSON that the turn made; `version` counts commits from 1. */
export interface StoredLine {
  readonly version: number;
  readonly state: string;
}

/** One turn's whole effect. */
export interface LineCommit {
  readonly lineId: LineId;
  /** The version loaded; 0 for a line not kept before. */
  readonly expectedVersion: number;
  /** The carrier's id of the message or call step that caused the turn; absent for due times. Unique within the line. */
  readonly inboundId?: string;
  /** What was answered, kept so that a repeat gets the same. */
  readonly reply: string;
  readonly state: string;
  /** Epoch milliseconds of the line's next due time, or null for none. */
  readonly nextDueAt: number | null;
  readonly journal: readonly JournalEntry[];
  readonly outbox: readonly OutboxMessage[];
  /** Every alert of the line that is open, and those closed in this turn. Others keep what was last told of them. */
  readonly alerts: readonly AlertEntry[];
}

export type CommitOutcome =
  | { readonly kind: 'committed'; readonly version: number }
  | { readonly kind: 'repeated'; readonly reply: string };

/** A fact about the line that is never changed afterwards. `body` is JSON and may hold her words: sealed at rest. */
export interface JournalEntry {
  readonly at: number;
  readonly kind: string;
  readonly body: string;
}

export interface StoredJournalEntry extends JournalEntry {
  /** Position in the line's journal, from 1, without gaps. */
  readonly seq: number;
}

/** What is sent out, by text or by call. `to` and `body` are sealed at rest. */
export interface OutboxMessage {
  /** Derived from the turn's event, so that the same turn makes the same id. Unique over all lines, as when it begins with one. */
  readonly id: string;
  readonly lineId: LineId;
  readonly channel: 'text' | 'call';
  /** E.164 number. */
  readonly to: string;
  /** The words to send; for a call, the words to say first. */
  readonly body: string;
  readonly language: string;
  readonly purpose: MessagePurpose;
  /** 0 safety, 1 alert, 2 reply, 3 follow-up, 4 check-in, 5 tip. */
  readonly priority: number;
  /** Epoch milliseconds: not before this. */
  readonly notBefore: number;
  /** Epoch milliseconds: after this it is dropped, never sent late. Null: always worth sending. */
  readonly sendBefore: number | null;
  /** Who receives it: the line's phone, or a counsellor's id. */
  readonly receiver: string;
}

export type MessagePurpose = 'safety' | 'alert' | 'reply' | 'follow-up' | 'check-in' | 'tip' | 'sign-in';

export interface TakenMessage extends OutboxMessage {
  /** Times taken before this one. */
  readonly attempts: number;
  /** A former taker died or lost its answer: the message may have gone out already. */
  readonly mayHaveBeenSent: boolean;
  /** Names this taking; pass it to `settleMessage`. */
  readonly leaseToken: string;
}

/** `at` is when it was sent or given up; for `again` it is the new `notBefore`. `why` is sealed at rest. */
export type SendOutcome =
  | { readonly kind: 'sent'; readonly carrierId: string; readonly at: number; readonly tellLine?: boolean }
  | { readonly kind: 'again'; readonly at: number; readonly why: string; readonly mayHaveBeenSent: boolean }
  | { readonly kind: 'gave-up'; readonly at: number; readonly why: string };

export interface OutboxRecord extends OutboxMessage {
  readonly state: 'waiting' | 'held' | 'sent' | 'gave-up';
  /** Times taken so far. */
  readonly attempts: number;
  readonly carrierId: string | null;
  readonly why: string | null;
}

/** The index entry of an alert; the alert itself lives in its line's state. */
export interface AlertEntry {
  readonly alertId: string;
  readonly lineId: LineId;
  readonly code: string;
  readonly tier: 'A' | 'B' | 'C';
  readonly raisedAt: number;
  readonly open: boolean;
}

/** What has come due by `now` and is not done, taken or not; the oldest of each, null when there is none. */
export interface Backlog {
  readonly dueLines: number;
  readonly oldestDueAt: number | null;
  readonly waitingMessages: number;
  readonly oldestMessageAt: number | null;
  readonly openAlerts: number;
}

/** What one call of `reseal` did. */
export interface Resealed {
  /** Where the next call goes on; undefined when all lines were looked at. */
  readonly after: string | undefined;
  readonly lines: number;
  /** Values that an older key had sealed, among them those that were left since somebody wrote them in the same moment. */
  readonly values: number;
}

/**
 * Everything that is kept of one line, the same whichever store it lies in: for moving lines and for comparing copies.
 * Leases on the line itself are left behind: it is due again where it arrives.
 */
export interface WholeLine {
  readonly lineId: LineId;
  readonly version: number;
  readonly state: string;
  readonly nextDueAt: number | null;
  /** Oldest first, from 1 without gaps. */
  readonly journal: readonly StoredJournalEntry[];
  /** Those that may still be asked for again, in the order in which they were given. */
  readonly replies: readonly WholeReply[];
  /** Settled ones that are still kept, by when and by id; after them those under way, in the order of writing. */
  readonly outbox: readonly WholeMessage[];
  /** Open and closed, by id. */
  readonly alerts: readonly AlertEntry[];
}

export interface WholeReply {
  /** The inbound id it answers, as `inboundHash` gives it: the id itself is not kept. */
  readonly inbound: number;
  readonly reply: string;
  /** Epoch milliseconds on the machine's clock. */
  readonly keptAt: number;
}

export interface WholeMessage extends OutboxRecord {
  readonly mayHaveBeenSent: boolean;
  /** End of a lease, in epoch milliseconds, 0 for none. Who held it cannot settle the copy: it is given again when this is over. */
  readonly leaseUntil: number;
  /** When it was sent or given up, in epoch milliseconds on the machine's clock; null while it is under way. */
  readonly settledAt: number | null;
}
