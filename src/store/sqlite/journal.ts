import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import type { Sealer } from '../sealing.ts';
import type { JournalEntry, StoredJournalEntry } from '../store.ts';

/** A journal entry with its body sealed, ready to be written. */
export interface SealedEntry {
  readonly at: number;
  readonly kind: string;
  readonly body: Buffer;
}

interface Row {
  readonly seq: number;
  readonly at: number;
  readonly kind: string;
  readonly body: Buffer;
}

/** Writes and reads the journal. An entry's body opens only on its own line. */
export function journalTable(db: Database, sealer: Sealer) {
  const insert = db.prepare<[number, number, number, string, Buffer]>(
    'INSERT INTO journal (no, seq, at, kind, body) VALUES (?, ?, ?, ?, ?)',
  );
  const select = db.prepare<[string, number, number], Row>(
    `SELECT seq, at, kind, body FROM journal
     WHERE no = (SELECT no FROM line WHERE line_id = ?) AND seq > ? ORDER BY seq LIMIT ?`,
  );
  return {
    seal: (lineId: LineId, entries: readonly JournalEntry[]): readonly SealedEntry[] =>
      entries.map(({ at, kind, body }) => ({ at, kind, body: sealer.seal(body, lineId, 'journal') })),

    append(no: number, length: number, entries: readonly SealedEntry[]): void {
      let seq = length;
      for (const { at, kind, body } of entries) insert.run(no, ++seq, at, kind, body);
    },

    read: (lineId: LineId, limit: number, afterSeq: number): readonly StoredJournalEntry[] =>
      select.all(lineId, afterSeq, limit).map(({ seq, at, kind, body }) => ({
        seq,
        at,
        kind,
        body: sealer.open(body, lineId, 'journal'),
      })),
  };
}
