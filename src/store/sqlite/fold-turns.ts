import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { inboundHash } from '../inbound-hash.ts';
import { keepFor } from '../keep-for.ts';
import type { Sealer } from '../sealing.ts';
import { turnTable } from './turns.ts';

interface Entry {
  readonly at: number;
  readonly kind: string;
  readonly sealed: Buffer;
}

interface Reply {
  readonly inbound_id: string;
  readonly kept_at: number;
  readonly reply: Buffer;
}

/**
 * Brings a file of schema 1 to the turns of schema 2: the journal, which had a sealed row for each entry, and the replies of the
 * last two days. Line by line, so that a large file needs no more memory than a small one.
 * @throws StoreUnavailable when a key is missing that something was sealed with; then the file stays as it was
 */
export function foldTurns(db: Database, sealer: Sealer): void {
  const turns = turnTable(db, sealer);
  const lines = db.prepare<[number], { no: number; line_id: LineId }>(
    'SELECT no, line_id FROM line WHERE no > ? ORDER BY no LIMIT 1000',
  );
  const entries = db.prepare<[number], Entry>(
    'SELECT at, kind, body AS sealed FROM journal WHERE no = ? ORDER BY seq',
  );
  const replies = db.prepare<[number, number], Reply>(
    'SELECT inbound_id, kept_at, reply FROM inbound WHERE no = ? AND kept_at >= ? ORDER BY kept_at',
  );
  const point = db.prepare<[number, number]>('UPDATE line SET last_turn = ? WHERE no = ?');
  const forgetBefore = Date.now() - keepFor.replyMs;

  function fold(no: number, lineId: LineId): void {
    const journal = entries
      .all(no)
      .map(({ at, kind, sealed }) => ({ at, kind, body: sealer.open(sealed, lineId, 'journal') }));
    const kept = replies.all(no, forgetBefore).map(({ inbound_id, kept_at: keptAt, reply }) => ({
      inbound: inboundHash(inbound_id),
      reply: sealer.open(reply, inbound_id, 'reply'),
      keptAt,
    }));
    point.run(turns.appendWhole(lineId, journal, kept), no);
  }

  for (let after = 0; ; ) {
    const page = lines.all(after);
    for (const { no, line_id } of page) fold(no, line_id);
    const last = page.at(-1);
    if (last === undefined) return;
    after = last.no;
  }
}
