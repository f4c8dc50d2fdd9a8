import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';

/**
 * Lines whose due time has come. A line stays at its place in the order while it is taken, so that one whose taker died
 * comes first again; takers step over the few that are held.
 */
export function dueLines(db: Database) {
  const ready = db.prepare<[number, number, number], { at: number; no: number; line_id: LineId }>(
    'SELECT at, no, line_id FROM due WHERE at <= ? AND lease_until <= ? ORDER BY at, no LIMIT ?',
  );
  const hold = db.prepare<[number, number, number]>('UPDATE due SET lease_until = ? WHERE at = ? AND no = ?');
  const release = db.prepare<[number, number]>(
    'UPDATE due SET lease_until = 0 WHERE at = ? AND no = ? AND lease_until > 0',
  );
  const free = db.prepare('UPDATE due SET lease_until = 0 WHERE lease_until > 0');
  const put = db.prepare<[number, number, string]>('INSERT INTO due (at, no, line_id) VALUES (?, ?, ?)');
  const drop = db.prepare<[number, number]>('DELETE FROM due WHERE at = ? AND no = ?');
  const waiting = db.prepare<[number], { count: number; oldest: number | null }>(
    'SELECT count(*) AS count, min(at) AS oldest FROM due WHERE at <= ?',
  );
  return {
    /** Ends every lease. */
    freeHeld: () => free.run(),

    take(now: number, limit: number, leaseMs: number): readonly LineId[] {
      const rows = ready.all(now, now, limit);
      for (const { at, no } of rows) hold.run(now + leaseMs, at, no);
      return rows.map((row) => row.line_id);
    },

    /** A commit sets a line's due time anew, even where it stays the same: nobody holds the line any more. */
    set(no: number, lineId: LineId, before: number | null, at: number | null): void {
      if (before !== null && before === at) {
        release.run(at, no);
        return;
      }
      if (before !== null) drop.run(before, no);
      if (at !== null) put.run(at, no, lineId);
    },

    waiting: (now: number) => waiting.get(now) ?? { count: 0, oldest: null },
  };
}
