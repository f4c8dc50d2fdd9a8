import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { keepFor } from '../keep-for.ts';
import type { Sealer } from '../sealing.ts';
import type { WholeLine } from '../store.ts';
import type { CommitTables } from './commit.ts';

interface Row {
  readonly no: number;
  readonly version: number;
  readonly due_at: number | null;
  readonly last_turn: number;
  readonly state: Buffer;
}

/** Reads and writes everything of a line at once. */
export function wholeLines(db: Database, sealer: Sealer, { alerts, turns, outbox, due }: CommitTables) {
  const select = db.prepare<[string], Row>(
    'SELECT no, version, due_at, last_turn, state FROM line WHERE line_id = ?',
  );
  const insert = db.prepare<[string, number, number, number | null, number, Buffer]>(
    'INSERT INTO line (line_id, version, journal_length, due_at, last_turn, state) VALUES (?, ?, ?, ?, ?, ?)',
  );

  return {
    read(lineId: LineId): WholeLine | undefined {
      const row = select.get(lineId);
      if (row === undefined) return undefined;
      return {
        lineId,
        version: row.version,
        state: sealer.open(row.state, lineId, 'state'),
        nextDueAt: row.due_at,
        journal: turns.journal(row.last_turn, lineId, Number.MAX_SAFE_INTEGER, 0),
        replies: turns.replies(row.last_turn, Date.now() - keepFor.replyMs, lineId),
        outbox: outbox.whole(row.no),
        alerts: alerts.whole(row.no),
      };
    },

    /** Seals at once; gives the work to be run in a transaction. */
    write(whole: WholeLine): () => 'written' | 'there' {
      const { lineId, version, journal, replies, nextDueAt } = whole;
      const state = sealer.seal(whole.state, lineId, 'state');
      const messages = outbox.seal(whole.outbox);
      return () => {
        if (select.get(lineId) !== undefined) return 'there';
        const changed = alerts.changed(undefined, undefined, whole.alerts);
        const lastTurn = turns.appendWhole(lineId, journal, replies);
        const row = insert.run(lineId, version, journal.length, nextDueAt, lastTurn, state);
        const no = Number(row.lastInsertRowid);
        due.set(no, lineId, null, nextDueAt);
        outbox.write(no, messages);
        outbox.writeWhole(no, whole.outbox);
        alerts.write(no, changed);
        return 'written';
      };
    },
  };
}
