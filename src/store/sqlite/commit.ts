import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { StaleState } from '../../errors.ts';
import { inboundHash } from '../inbound-hash.ts';
import { keepFor } from '../keep-for.ts';
import type { Sealer } from '../sealing.ts';
import type { CommitOutcome, LineCommit, StoredJournalEntry, StoredLine } from '../store.ts';
import type { alertTable } from './alerts.ts';
import type { dueLines } from './due.ts';
import type { LineCache, OpenLine } from './line-cache.ts';
import type { outboxTable } from './outbox.ts';
import { RecentInbound } from './recent-inbound.ts';
import type { turnTable } from './turns.ts';

interface Row {
  readonly no: number;
  readonly version: number;
  readonly journal_length: number;
  readonly due_at: number | null;
  readonly last_turn: number;
  readonly state: Buffer;
}

/** The other tables that a commit writes to, and the lines lately used. */
export interface CommitTables {
  readonly alerts: ReturnType<typeof alertTable>;
  readonly turns: ReturnType<typeof turnTable>;
  readonly outbox: ReturnType<typeof outboxTable>;
  readonly due: ReturnType<typeof dueLines>;
  readonly cache: LineCache;
}

/** Lines, and the one piece of writing that changes them. */
export function lineTable(db: Database, sealer: Sealer, { alerts, turns, outbox, due, cache }: CommitTables) {
  const byId = db.prepare<[string], Row>(
    'SELECT no, version, journal_length, due_at, last_turn, state FROM line WHERE line_id = ?',
  );
  const isNow = db.prepare<[number, number], 1>('SELECT 1 FROM line WHERE no = ? AND version = ?').pluck();
  const dataVersion = db.prepare<[], number>('PRAGMA data_version').pluck();
  const insert = db.prepare<[string, number, number | null, number, Buffer]>(
    `INSERT INTO line (line_id, version, journal_length, due_at, last_turn, state) VALUES (?, 1, ?, ?, ?, ?)`,
  );
  const update = db.prepare<[number, number, number, Buffer, number | null, number, number]>(
    `UPDATE line SET version = ?, journal_length = ?, last_turn = ?, state = ?, due_at = ?
     WHERE no = ? AND version = ?`,
  );
  const ids = db.prepare<[string, number], { line_id: LineId }>(
    'SELECT line_id FROM line WHERE line_id > ? ORDER BY line_id LIMIT ?',
  );

  let othersSeen: number | undefined;
  let others = 0;
  let hasLooked = false;
  /**
   * How often other connections were found to have written to the file. Looked for once in a round of the event loop: what they write
   * meanwhile is a race, and a commit loses it.
   */
  function othersWrites(): number {
    if (hasLooked) return others;
    hasLooked = true;
    setImmediate(() => {
      hasLooked = false;
    });
    const seen = dataVersion.get();
    if (seen !== othersSeen) others++;
    othersSeen = seen;
    return others;
  }

  /** The line as the file has it now. */
  function current(lineId: LineId): OpenLine | undefined {
    const known = cache.get(lineId);
    if (known === undefined) return fromFile(lineId);
    const writes = othersWrites();
    if (known.others === writes) return known;
    if (isNow.get(known.no, known.stored.version) !== 1) return fromFile(lineId);
    const line = { ...known, others: writes };
    cache.set(lineId, line);
    return line;
  }

  function fromFile(lineId: LineId): OpenLine | undefined {
    const row = byId.get(lineId);
    if (row === undefined) return undefined;
    const line: OpenLine = {
      no: row.no,
      stored: { version: row.version, state: sealer.open(row.state, lineId, 'state') },
      journalLength: row.journal_length,
      dueAt: row.due_at,
      lastTurn: row.last_turn,
      recent: turns.recent(row.last_turn, Date.now() - keepFor.replyMs),
      alerts: undefined,
      others: othersWrites(),
    };
    cache.set(lineId, line);
    return line;
  }

  function keptReply(line: OpenLine, lineId: LineId, hashed: number): string | undefined {
    const turn = line.recent.turnOf(hashed, Date.now() - keepFor.replyMs);
    return turn === undefined ? undefined : turns.replyAt(turn, lineId);
  }

  return {
    load: (lineId: LineId): StoredLine | undefined => current(lineId)?.stored,

    replyTo(inboundId: string, lineId: LineId): string | undefined {
      const line = current(lineId);
      return line && keptReply(line, lineId, inboundHash(inboundId));
    },

    journal(lineId: LineId, limit: number, afterSeq: number): readonly StoredJournalEntry[] {
      const line = current(lineId);
      return line === undefined ? [] : turns.journal(line.lastTurn, lineId, limit, afterSeq);
    },

    ids: (limit: number, after: string): readonly LineId[] => ids.all(after, limit).map((row) => row.line_id),

    /** Seals at once, outside the transaction; gives the work to be run inside it. Every refusal comes before the first write. */
    commit(change: LineCommit, keptAt: number): () => CommitOutcome {
      const { lineId, inboundId, expectedVersion, nextDueAt, journal } = change;
      const state = sealer.seal(change.state, lineId, 'state');
      const hashed = inboundId === undefined ? undefined : inboundHash(inboundId);
      const sealed =
        hashed === undefined && journal.length === 0
          ? undefined
          : turns.seal(lineId, { reply: inboundId === undefined ? undefined : change.reply, journal });
      const messages = outbox.seal(change.outbox);
      const version = expectedVersion + 1;

      const write = (): CommitOutcome => {
        // Mostly the line as it is known here; whether it still is so in the file, the update tells.
        const known = cache.get(lineId) ?? fromFile(lineId);
        const line = known?.stored.version === expectedVersion ? known : fromFile(lineId);
        const kept = line && hashed !== undefined ? keptReply(line, lineId, hashed) : undefined;
        if (kept !== undefined) return { kind: 'repeated', reply: kept };
        const atVersion = line?.stored.version ?? 0;
        if (atVersion !== expectedVersion)
          throw new StaleState(`Line ${lineId} is at version ${atVersion}, not ${expectedVersion}.`);
        const toldAlerts = alerts.changed(line?.no, line?.alerts, change.alerts);

        const lastTurn = line?.lastTurn ?? 0;
        const firstSeq = (line?.journalLength ?? 0) + 1;
        const entries = journal.length;
        const turn = sealed ? turns.next() : lastTurn;
        const journalLength = firstSeq - 1 + entries;
        let no = line?.no;
        if (no === undefined)
          no = Number(insert.run(lineId, journalLength, nextDueAt, turn, state).lastInsertRowid);
        else if (
          update.run(version, journalLength, turn, state, nextDueAt, no, expectedVersion).changes === 0
        ) {
          // Another process was first, and nothing is written yet.
          cache.forget(lineId);
          return write();
        }
        if (sealed)
          turns.append({ before: lastTurn, firstSeq, entries, inbound: hashed, keptAt, sealed }, turn);
        const recent = line?.recent ?? new RecentInbound();
        if (hashed !== undefined) recent.add(hashed, { turn, keptAt }, keptAt - keepFor.replyMs);
        due.set(no, lineId, line?.dueAt ?? null, nextDueAt);
        outbox.write(no, messages);
        alerts.write(no, toldAlerts);
        const stored = { version, state: change.state };
        const { alerts: told } = change;
        cache.set(lineId, {
          no,
          stored,
          journalLength,
          recent,
          dueAt: nextDueAt,
          lastTurn: turn,
          alerts: told,
          others,
        });
        return { kind: 'committed', version };
      };
      return write;
    },
  };
}
