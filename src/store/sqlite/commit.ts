import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { StaleState } from '../../errors.ts';
import type { Sealer } from '../sealing.ts';
import type { CommitOutcome, LineCommit, StoredLine } from '../store.ts';
import type { alertTable } from './alerts.ts';
import type { journalTable } from './journal.ts';
import type { outboxTable } from './outbox.ts';

interface Row {
  readonly no: number;
  readonly version: number;
  readonly journal_length: number;
}

/** The other tables that a commit writes to. */
export interface CommitTables {
  readonly alerts: ReturnType<typeof alertTable>;
  readonly journal: ReturnType<typeof journalTable>;
  readonly outbox: ReturnType<typeof outboxTable>;
}

/** Lines, and the one piece of writing that changes them. */
export function lineTable(db: Database, sealer: Sealer, tables: CommitTables) {
  const load = db.prepare<[string], { version: number; state: Buffer }>(
    'SELECT version, state FROM line WHERE line_id = ?',
  );
  const find = db.prepare<[string], Row>('SELECT no, version, journal_length FROM line WHERE line_id = ?');
  const reply = db.prepare<[string, string], { reply: Buffer }>(
    'SELECT reply FROM inbound WHERE no = (SELECT no FROM line WHERE line_id = ?) AND inbound_id = ?',
  );
  const insert = db.prepare<[string, number, number | null, Buffer]>(
    'INSERT INTO line (line_id, version, journal_length, due_at, state) VALUES (?, 1, ?, ?, ?)',
  );
  const update = db.prepare<[number, number, number | null, Buffer, number]>(
    'UPDATE line SET version = ?, journal_length = ?, due_at = ?, lease_until = 0, state = ? WHERE no = ?',
  );
  const keepReply = db.prepare<[number, string, number, Buffer]>(
    'INSERT INTO inbound (no, inbound_id, kept_at, reply) VALUES (?, ?, ?, ?)',
  );
  const ids = db.prepare<[string, number], { line_id: LineId }>(
    'SELECT line_id FROM line WHERE line_id > ? ORDER BY line_id LIMIT ?',
  );
  const forget = db.prepare<[number, number]>(
    `DELETE FROM inbound WHERE (no, inbound_id) IN
       (SELECT no, inbound_id FROM inbound WHERE kept_at < ? ORDER BY kept_at LIMIT ?)`,
  );

  function replyTo(inboundId: string, lineId: LineId): string | undefined {
    const row = reply.get(lineId, inboundId);
    return row && sealer.open(row.reply, inboundId, 'reply');
  }

  return {
    replyTo,

    load(lineId: LineId): StoredLine | undefined {
      const row = load.get(lineId);
      return row && { version: row.version, state: sealer.open(row.state, lineId, 'state') };
    },

    ids: (limit: number, after: string): readonly LineId[] => ids.all(after, limit).map((row) => row.line_id),

    forgetReplies: (before: number, limit: number) => forget.run(before, limit),

    /** Seals at once, outside the transaction; gives the work to be run inside it. Every refusal comes before the first write. */
    commit(change: LineCommit, keptAt: number): () => CommitOutcome {
      const { lineId, inboundId, expectedVersion, nextDueAt, alerts } = change;
      const state = sealer.seal(change.state, lineId, 'state');
      const sealedReply = inboundId === undefined ? undefined : sealer.seal(change.reply, inboundId, 'reply');
      const entries = tables.journal.seal(lineId, change.journal);
      const messages = tables.outbox.seal(change.outbox);
      const version = expectedVersion + 1;

      return () => {
        const kept = inboundId === undefined ? undefined : replyTo(inboundId, lineId);
        if (kept !== undefined) return { kind: 'repeated', reply: kept };
        const row = find.get(lineId);
        if ((row?.version ?? 0) !== expectedVersion) {
          throw new StaleState(`Line ${lineId} is at version ${row?.version ?? 0}, not ${expectedVersion}.`);
        }
        tables.alerts.checkCodes(row?.no, alerts);

        const journalLength = row?.journal_length ?? 0;
        const length = journalLength + entries.length;
        let no = row?.no;
        if (no === undefined) no = Number(insert.run(lineId, length, nextDueAt, state).lastInsertRowid);
        else update.run(version, length, nextDueAt, state, no);
        if (inboundId !== undefined && sealedReply) keepReply.run(no, inboundId, keptAt, sealedReply);
        tables.journal.append(no, journalLength, entries);
        tables.outbox.write(no, messages);
        tables.alerts.write(no, alerts);
        return { kind: 'committed', version };
      };
    },
  };
}
