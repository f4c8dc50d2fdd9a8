import { randomBytes } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { fieldsToSeal, mustWait, sealedFieldsOf } from '../outbox-order.ts';
import type { Sealer } from '../sealing.ts';
import type { OutboxMessage, OutboxRecord, SendOutcome, TakenMessage, WholeMessage } from '../store.ts';
import { inOrder } from '../whole-order.ts';

/** A message with its telling fields sealed, ready to be written. */
export interface SealedMessage {
  readonly message: OutboxMessage;
  readonly sealed: Buffer;
  readonly mark: string;
}

interface Row {
  readonly seq: number;
  readonly id: string;
  readonly no: number;
  readonly line_id: LineId;
  readonly channel: OutboxMessage['channel'];
  readonly sealed: Buffer;
  readonly receiver_mark: string;
  readonly language: string;
  readonly purpose: OutboxMessage['purpose'];
  readonly priority: number;
  readonly not_before: number;
  readonly send_before: number | null;
  readonly state: OutboxRecord['state'];
  readonly attempts: number;
  readonly may_have_been_sent: number;
  readonly lease_token: string | null;
  readonly carrier_id: string | null;
  readonly why: Buffer | null;
  readonly lease_until: number;
  readonly settled_at: number | null;
}

interface Place {
  readonly seq: number;
  readonly priority: number;
  readonly mark: string;
  readonly blocked: number;
}

/** The order of taking is priority, `notBefore`, order of writing; a held message keeps its place and is stepped over. */
export function outboxTable(db: Database, sealer: Sealer) {
  const insert = db.prepare(
    `INSERT INTO outbox (id, no, channel, sealed, receiver_mark, language, purpose, priority, not_before, send_before)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const expire = db.prepare<[number, number, number], { no: number }>(
    `UPDATE outbox SET state = 'gave-up', untold = 1, settled_at = ? WHERE settled_at IS NULL AND send_before < ? AND lease_until <= ?
     RETURNING no`,
  );
  const priorities = db.prepare<[], { priority: number }>(
    'SELECT DISTINCT priority FROM outbox INDEXED BY outbox_ready WHERE settled_at IS NULL AND blocked = 0 ORDER BY priority',
  );
  const ready = db.prepare<[number, number, number, number], Row>(
    `SELECT outbox.*, line_id FROM outbox INDEXED BY outbox_ready JOIN line USING (no)
     WHERE settled_at IS NULL AND blocked = 0 AND priority = ? AND not_before <= ? AND outbox.lease_until <= ?
     ORDER BY priority, not_before, seq LIMIT ?`,
  );
  const queue = db.prepare<[number], Place>(
    `SELECT seq, priority, receiver_mark AS mark, blocked FROM outbox INDEXED BY outbox_order
     WHERE settled_at IS NULL AND no = ? ORDER BY seq`,
  );
  const setBlocked = db.prepare<[number, number]>('UPDATE outbox SET blocked = ? WHERE seq = ?');
  const hold = db.prepare<[number, string, number, number]>(
    `UPDATE outbox SET state = 'held', attempts = attempts + 1, lease_until = ?, lease_token = ?, may_have_been_sent = ?
     WHERE seq = ?`,
  );
  const byId = db.prepare<[string], Row>(
    'SELECT outbox.*, line_id FROM outbox JOIN line USING (no) WHERE id = ?',
  );
  const finish = db.prepare<[string, string | null, Buffer | null, number, number, number]>(
    `UPDATE outbox SET state = ?, carrier_id = ?, why = ?, settled_at = ?, untold = ?, lease_until = 0, lease_token = NULL
     WHERE seq = ?`,
  );
  const untold = db.prepare<[number], Row>(
    `SELECT outbox.*, line_id FROM outbox INDEXED BY outbox_untold JOIN line USING (no)
     WHERE untold = 1 ORDER BY settled_at LIMIT ?`,
  );
  const noteTold = db.prepare<[string]>('UPDATE outbox SET untold = 0 WHERE id = ? AND untold = 1');
  const again = db.prepare<[Buffer, number, number, number]>(
    `UPDATE outbox SET state = 'waiting', why = ?, not_before = ?, may_have_been_sent = may_have_been_sent | ?,
     lease_until = 0, lease_token = NULL WHERE seq = ?`,
  );
  const settled = db
    .prepare<[number, number], number>(
      'SELECT seq FROM outbox WHERE settled_at < ? ORDER BY settled_at LIMIT ?',
    )
    .pluck();
  const forget = db.prepare<[number]>('DELETE FROM outbox WHERE seq = ?');
  const ofLine = db.prepare<[number], Row>(
    'SELECT outbox.*, line_id FROM outbox INDEXED BY outbox_order JOIN line USING (no) WHERE no = ? ORDER BY seq',
  );
  const become = db.prepare(
    `UPDATE outbox SET state = ?, attempts = ?, may_have_been_sent = ?, lease_until = ?, carrier_id = ?, why = ?,
     settled_at = ?, untold = ? WHERE id = ?`,
  );
  const waiting = db.prepare<[number], { count: number; oldest: number | null }>(
    `SELECT count(*) AS count, min(not_before) AS oldest FROM outbox INDEXED BY outbox_active
     WHERE settled_at IS NULL AND not_before <= ?`,
  );

  const free = db.prepare("UPDATE outbox SET lease_until = 0 WHERE settled_at IS NULL AND state = 'held'");

  /** Says anew who of the line's messages must wait; few of a line's are under way at once. */
  function reorder(no: number): void {
    const places = queue.all(no);
    for (const [index, place] of places.entries()) {
      const blocked = mustWait(place, places.slice(0, index)) ? 1 : 0;
      if (blocked !== place.blocked) setBlocked.run(blocked, place.seq);
    }
  }

  function messageOf(row: Row): OutboxMessage {
    const { id, line_id: lineId, channel, language, purpose, priority, not_before, send_before } = row;
    const { to, body, receiver } = sealedFieldsOf(sealer.open(row.sealed, id, 'message'));
    return {
      id,
      lineId,
      channel,
      to,
      body,
      language,
      purpose,
      priority,
      notBefore: not_before,
      sendBefore: send_before,
      receiver,
    };
  }

  function recordOf(row: Row): OutboxRecord {
    const { id, state, attempts, carrier_id: carrierId } = row;
    const why = row.why ? sealer.open(row.why, id, 'why') : state === 'gave-up' ? 'too late to send' : null;
    return { ...messageOf(row), state, attempts, carrierId, why };
  }

  return {
    /** Ends every lease. What was held may have been sent, and is given again as such. */
    freeHeld: () => free.run(),

    seal: (messages: readonly OutboxMessage[]): readonly SealedMessage[] =>
      messages.map((message) => ({
        message,
        sealed: sealer.seal(fieldsToSeal(message), message.id, 'message'),
        mark: sealer.mark(message.receiver, message.lineId),
      })),

    write(no: number, messages: readonly SealedMessage[]): void {
      for (const { message: m, sealed, mark } of messages) {
        insert.run(
          m.id,
          no,
          m.channel,
          sealed,
          mark,
          m.language,
          m.purpose,
          m.priority,
          m.notBefore,
          m.sendBefore,
        );
      }
      if (messages.length > 0) reorder(no);
    },

    take(now: number, limit: number, leaseMs: number): readonly TakenMessage[] {
      for (const { no } of expire.all(Date.now(), now, now)) reorder(no);
      const rows: Row[] = [];
      for (const { priority } of priorities.all()) {
        if (rows.length < limit) rows.push(...ready.all(priority, now, now, limit - rows.length));
      }
      const token = randomBytes(9).toString('base64url');
      return rows.map((row) => {
        const mayHaveBeenSent = row.may_have_been_sent === 1 || row.state === 'held';
        const leaseToken = `${token}.${row.attempts + 1}`;
        hold.run(now + leaseMs, leaseToken, mayHaveBeenSent ? 1 : 0, row.seq);
        return { ...messageOf(row), attempts: row.attempts, mayHaveBeenSent, leaseToken };
      });
    },

    settle(id: string, leaseToken: string, outcome: SendOutcome): boolean {
      const row = byId.get(id);
      if (!row || row.state !== 'held' || row.lease_token !== leaseToken) return false;
      if (outcome.kind === 'sent')
        finish.run('sent', outcome.carrierId, null, Date.now(), outcome.tellLine === true ? 1 : 0, row.seq);
      else {
        const why = sealer.seal(outcome.why, id, 'why');
        if (outcome.kind === 'again') again.run(why, outcome.at, outcome.mayHaveBeenSent ? 1 : 0, row.seq);
        else finish.run('gave-up', null, why, Date.now(), 1, row.seq);
      }
      reorder(row.no);
      return true;
    },

    untold: (limit: number): readonly OutboxRecord[] => untold.all(limit).map(recordOf),

    noteTold: (id: string) => void noteTold.run(id),

    byId(id: string): OutboxRecord | undefined {
      const row = byId.get(id);
      return row && recordOf(row);
    },

    /** All messages of a line. */
    whole: (no: number): readonly WholeMessage[] =>
      inOrder(
        ofLine.all(no).map((row) => ({
          ...recordOf(row),
          mayHaveBeenSent: row.may_have_been_sent === 1,
          leaseUntil: row.lease_until,
          settledAt: row.settled_at,
        })),
      ),

    /** After `write`: makes the messages what they had become where they came from. */
    writeWhole(no: number, messages: readonly WholeMessage[]): void {
      for (const m of messages) {
        const why = m.why === null ? null : sealer.seal(m.why, m.id, 'why');
        const maybe = m.mayHaveBeenSent ? 1 : 0;
        const tell = m.state === 'gave-up' ? 1 : 0;
        become.run(m.state, m.attempts, maybe, m.leaseUntil, m.carrierId, why, m.settledAt, tell, m.id);
      }
      reorder(no);
    },

    reorder,

    forgetSettled(before: number, limit: number): void {
      for (const seq of settled.all(before, limit)) forget.run(seq);
    },

    waiting: (now: number) => waiting.get(now) ?? { count: 0, oldest: null },
  };
}
