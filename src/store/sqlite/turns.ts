import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import type { Sealer } from '../sealing.ts';
import type { JournalEntry, StoredJournalEntry, WholeReply } from '../store.ts';
import { RecentInbound } from './recent-inbound.ts';
import { type TurnRecord, turnRecordOf, turnText } from '../turn-record.ts';

interface Row {
  readonly first_seq: number;
  readonly sealed: Buffer;
}

/** A turn's record, sealed, and where it belongs. */
export interface NewTurn {
  /** The line's last turn, 0 for none. */
  readonly before: number;
  /** Its first entry's place in the journal. */
  readonly firstSeq: number;
  readonly entries: number;
  /** The hash of its inbound id. */
  readonly inbound: number | undefined;
  /** Epoch milliseconds on the machine's clock. */
  readonly keptAt: number;
  readonly sealed: Buffer;
}

/** Entries of several turns that share a row when a line is written whole: some 5 KB. */
const entriesPerRow = 50;

/**
 * One row a turn, written at the end of the table and never changed: pages that are filled once. A line's turns are found from
 * its last one backwards, so that no index has to be written with them. A record opens only on its own line.
 */
export function turnTable(db: Database, sealer: Sealer) {
  const last = db.prepare<[], number | null>('SELECT max(id) FROM turn').pluck();
  const insert = db.prepare<[number, number, number, number, number | null, number, Buffer]>(
    'INSERT INTO turn (id, before, first_seq, entries, inbound, kept_at, sealed) VALUES (?, ?, ?, ?, ?, ?, ?)',
  );
  const byId = db.prepare<[number], Row>('SELECT first_seq, sealed FROM turn WHERE id = ?');
  // Steps back over the heads of the rows alone, to where the wanted entries begin.
  const places = db
    .prepare<[number, number], number>(
      `WITH RECURSIVE back (id, before, first_seq, entries) AS (
         SELECT id, before, first_seq, entries FROM turn WHERE id = ?
         UNION ALL
         SELECT turn.id, turn.before, turn.first_seq, turn.entries FROM back JOIN turn ON turn.id = back.before
         WHERE back.first_seq > ? + 1
       )
       SELECT id FROM back WHERE entries > 0`,
    )
    .pluck();
  const recent = db.prepare<[number, number, number], { id: number; inbound: number; kept_at: number }>(
    `WITH RECURSIVE back (id, before, inbound, kept_at) AS (
       SELECT id, before, inbound, kept_at FROM turn WHERE id = ? AND kept_at >= ?
       UNION ALL
       SELECT turn.id, turn.before, turn.inbound, turn.kept_at FROM back JOIN turn ON turn.id = back.before
       WHERE turn.kept_at >= ?
     )
     SELECT id, inbound, kept_at FROM back WHERE inbound IS NOT NULL`,
  );
  let nextId = 0;

  const recordAt = (id: number, lineId: LineId): { firstSeq: number; record: TurnRecord } | undefined => {
    const row = byId.get(id);
    return row && { firstSeq: row.first_seq, record: turnRecordOf(sealer.open(row.sealed, lineId, 'turn')) };
  };

  const seal = (lineId: LineId, record: TurnRecord): Buffer => sealer.seal(turnText(record), lineId, 'turn');

  function next(): number {
    if (nextId === 0) nextId = (last.get() ?? 0) + 1;
    return nextId++;
  }

  function append({ before, firstSeq, entries, inbound, keptAt, sealed }: NewTurn, id = next()): number {
    insert.run(id, before, firstSeq, entries, inbound ?? null, keptAt, sealed);
    return id;
  }

  return {
    seal,

    /** To be called when a transaction begins: another process may have written since. */
    begin(): void {
      nextId = 0;
    },

    /** The id that the next row will have. */
    next,

    /** Gives the id of the row. */
    append,

    /** Writes a journal and its replies at once, many entries to a row; gives the id of the last row, 0 when there is none. */
    appendWhole(lineId: LineId, journal: readonly JournalEntry[], replies: readonly WholeReply[]): number {
      let before = 0;
      for (let from = 0; from < journal.length; from += entriesPerRow) {
        const some = journal.slice(from, from + entriesPerRow);
        const sealed = seal(lineId, { reply: undefined, journal: some });
        const place = { before, firstSeq: from + 1, entries: some.length };
        before = append({ ...place, inbound: undefined, keptAt: 0, sealed });
      }
      for (const { inbound, reply, keptAt } of replies) {
        const sealed = seal(lineId, { reply, journal: [] });
        before = append({ before, firstSeq: journal.length + 1, entries: 0, inbound, keptAt, sealed });
      }
      return before;
    },

    /** The inbound ids of a line since `from` (epoch milliseconds); `lastTurn` is the line's. */
    recent(lastTurn: number, from: number): RecentInbound {
      const known = new RecentInbound();
      for (const { id, inbound, kept_at } of recent.all(lastTurn, from, from).toReversed())
        known.add(inbound, { turn: id, keptAt: kept_at }, from);
      return known;
    },

    /** The replies kept for a line since `from` (epoch milliseconds), in the order in which they were given. */
    replies: (lastTurn: number, from: number, lineId: LineId): readonly WholeReply[] =>
      recent
        .all(lastTurn, from, from)
        .toReversed()
        .flatMap(({ id, inbound, kept_at: keptAt }) => {
          const reply = recordAt(id, lineId)?.record.reply;
          return reply === undefined ? [] : [{ inbound, reply, keptAt }];
        }),

    replyAt: (id: number, lineId: LineId): string | undefined => recordAt(id, lineId)?.record.reply,

    /** Entries after `afterSeq`, oldest first, at most `limit`, of the line whose last turn is given. */
    journal(
      lastTurn: number,
      lineId: LineId,
      limit: number,
      afterSeq: number,
    ): readonly StoredJournalEntry[] {
      const found: StoredJournalEntry[] = [];
      for (const id of places.all(lastTurn, afterSeq).toReversed()) {
        if (found.length >= limit) break;
        const turn = recordAt(id, lineId);
        if (turn === undefined) continue;
        const { firstSeq, record } = turn;
        for (const [index, entry] of record.journal.entries()) {
          const seq = firstSeq + index;
          if (seq > afterSeq && found.length < limit) found.push({ ...entry, seq });
        }
      }
      return found;
    },
  };
}
