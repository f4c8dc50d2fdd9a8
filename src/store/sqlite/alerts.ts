import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { AlertCodeTaken } from '../../errors.ts';
import type { AlertEntry } from '../store.ts';

interface Row {
  readonly alert_id: string;
  readonly line_id: LineId;
  readonly code: string;
  readonly tier: AlertEntry['tier'];
  readonly raised_at: number;
  readonly open: number;
}

const columns = 'alert_id, line_id, code, tier, raised_at, open';

/** The index of alerts. No two open ones share a code; the unique index would refuse what the check missed. */
export function alertTable(db: Database) {
  const holder = db.prepare<[string], { alert_id: string; no: number }>(
    'SELECT alert_id, no FROM alert WHERE code = ? AND open = 1',
  );
  const upsert = db.prepare<[string, number, string, string, number, number]>(
    `INSERT INTO alert (alert_id, no, code, tier, raised_at, open) VALUES (?, ?, ?, ?, ?, ?)
     ON CONFLICT (alert_id) DO UPDATE SET
       no = iif(no = excluded.no, no, NULL), -- another line's alert: refused by NOT NULL
       code = excluded.code, tier = excluded.tier, raised_at = excluded.raised_at, open = excluded.open`,
  );
  const byId = db.prepare<[string], Row>(
    `SELECT ${columns} FROM alert JOIN line USING (no) WHERE alert_id = ?`,
  );
  const letGo = db.prepare<[string]>('UPDATE alert SET open = 0 WHERE alert_id = ?');
  const byCode = db.prepare<[string], Row>(
    `SELECT ${columns} FROM alert JOIN line USING (no) WHERE code = ? ORDER BY open DESC, raised_at DESC, alert_id LIMIT 1`,
  );
  const open = db.prepare<[number], Row>(
    `SELECT ${columns} FROM alert JOIN line USING (no) WHERE open = 1 ORDER BY tier, raised_at, alert_id LIMIT ?`,
  );
  const ofLine = db.prepare<[number], Row>(
    `SELECT ${columns} FROM alert JOIN line USING (no) WHERE no = ? ORDER BY alert_id`,
  );
  const countOpen = db.prepare<[], { count: number }>('SELECT count(*) AS count FROM alert WHERE open = 1');

  const isKept = (alert: AlertEntry): boolean => {
    const row = byId.get(alert.alertId);
    return row !== undefined && same(entryOf(row), alert);
  };

  return {
    /**
     * Those of a commit's alerts that are not kept as they are told.
     * @param known what the line's last commit told, when that is known
     * @throws AlertCodeTaken when an open alert that is not being closed by this very change holds a code
     */
    changed(
      no: number | undefined,
      known: readonly AlertEntry[] | undefined,
      alerts: readonly AlertEntry[],
    ): readonly AlertEntry[] {
      if (alerts.length === 0 || alerts === known) return [];
      const changed = alerts.filter((alert) => !known?.some((one) => same(one, alert)) && !isKept(alert));
      for (const { alertId, code, open } of changed) {
        if (!open) continue;
        if (alerts.some((other) => other.open && other.code === code && other.alertId !== alertId))
          throw taken(code);
        const held = holder.get(code);
        if (!held || held.alert_id === alertId) continue;
        const closing =
          held.no === no &&
          alerts.some((other) => other.alertId === held.alert_id && !(other.open && other.code === code));
        if (!closing) throw taken(code);
      }
      return changed;
    },

    /** All that changed let go of their codes first: a code may pass from one alert to another within one change. */
    write(no: number, changed: readonly AlertEntry[]): void {
      for (const { alertId } of changed) letGo.run(alertId);
      for (const { alertId, code, tier, raisedAt, open } of changed) {
        upsert.run(alertId, no, code, tier, raisedAt, open ? 1 : 0);
      }
    },

    byCode(code: string): AlertEntry | undefined {
      const row = byCode.get(code);
      return row && entryOf(row);
    },

    open: (limit: number): readonly AlertEntry[] => open.all(limit).map(entryOf),

    /** All alerts of a line, by id. */
    whole: (no: number): readonly AlertEntry[] => ofLine.all(no).map(entryOf),

    countOpen: (): number => countOpen.get()?.count ?? 0,
  };
}

function entryOf(row: Row): AlertEntry {
  const { alert_id, line_id, code, tier, raised_at, open } = row;
  return { alertId: alert_id, lineId: line_id, code, tier, raisedAt: raised_at, open: open === 1 };
}

function same(one: AlertEntry, other: AlertEntry): boolean {
  return (
    one.alertId === other.alertId &&
    one.open === other.open &&
    one.code === other.code &&
    one.tier === other.tier &&
    one.raisedAt === other.raisedAt &&
    one.lineId === other.lineId
  );
}

function taken(code: string): AlertCodeTaken {
  return new AlertCodeTaken(`Alert code ${code} belongs to another open alert.`);
}
