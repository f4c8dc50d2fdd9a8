import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';

/**
 * Lines whose due time has come. A line stays at its place in the order while it is taken, so that one whose taker died
 * comes first again; takers step over the few that are held.
 */
export function dueLines(db: Database) {
  const ready = db.prepare<[number, number, number], { line_id: LineId }>(
    `SELECT line_id FROM line INDEXED BY line_due WHERE due_at <= ? AND lease_until <= ? ORDER BY due_at, no LIMIT ?`,
  );
  const hold = db.prepare<[number, string]>('UPDATE line SET lease_until = ? WHERE line_id = ?');
  const waiting = db.prepare<[number], { count: number; oldest: number | null }>(
    'SELECT count(*) AS count, min(due_at) AS oldest FROM line INDEXED BY line_due WHERE due_at <= ?',
  );
  return {
    take(now: number, limit: number, leaseMs: number): readonly LineId[] {
      const lineIds = ready.all(now, now, limit).map((row) => row.line_id);
      for (const lineId of lineIds) hold.run(now + leaseMs, lineId);
      return lineIds;
    },
    waiting: (now: number) => waiting.get(now) ?? { count: 0, oldest: null },
  };
}
