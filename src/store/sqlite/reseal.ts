import type { Database } from 'better-sqlite3';
import type { LineId } from '../../dialog/line.ts';
import { sealedFieldsOf } from '../outbox-order.ts';
import type { Sealer } from '../sealing.ts';
import type { Resealed } from '../store.ts';
import type { outboxTable } from './outbox.ts';

interface Message {
  readonly seq: number;
  readonly id: string;
  readonly sealed: Buffer;
  readonly why: Buffer | null;
  readonly receiver_mark: string;
}

/** Brings what older keys sealed under the newest one, line by line in order of `no`, to be run in a transaction. */
export function resealing(db: Database, sealer: Sealer, outbox: ReturnType<typeof outboxTable>) {
  const lines = db.prepare<
    [number, number],
    { no: number; line_id: LineId; last_turn: number; state: Buffer }
  >('SELECT no, line_id, last_turn, state FROM line WHERE no > ? ORDER BY no LIMIT ?');
  const setState = db.prepare<[Buffer, number]>('UPDATE line SET state = ? WHERE no = ?');
  const turns = db.prepare<[number], { id: number; sealed: Buffer }>(
    `WITH RECURSIVE back (id, before) AS (
       SELECT id, before FROM turn WHERE id = ?
       UNION ALL
       SELECT turn.id, turn.before FROM back JOIN turn ON turn.id = back.before
     )
     SELECT id, sealed FROM back JOIN turn USING (id)`,
  );
  const setTurn = db.prepare<[Buffer, number]>('UPDATE turn SET sealed = ? WHERE id = ?');
  const messages = db.prepare<[number], Message>(
    'SELECT seq, id, sealed, why, receiver_mark FROM outbox WHERE no = ? ORDER BY seq',
  );
  const setMessage = db.prepare<[Buffer, Buffer | null, string, number]>(
    'UPDATE outbox SET sealed = ?, why = ?, receiver_mark = ? WHERE seq = ?',
  );

  function message(lineId: LineId, { seq, id, sealed, why, receiver_mark: mark }: Message): number {
    const renewed = sealer.renew(sealed, id, 'message');
    const renewedWhy = why === null ? undefined : sealer.renew(why, id, 'why');
    if (renewed === undefined && renewedWhy === undefined && sealer.isNewestMark(mark)) return 0;
    const { receiver } = sealedFieldsOf(sealer.open(sealed, id, 'message'));
    setMessage.run(renewed ?? sealed, renewedWhy ?? why, sealer.mark(receiver, lineId), seq);
    return 1;
  }

  return (limit: number, after: string | undefined): Resealed => {
    const page = lines.all(Number(after ?? 0), limit);
    let values = 0;
    for (const { no, line_id, last_turn, state } of page) {
      const renewed = sealer.renew(state, line_id, 'state');
      if (renewed !== undefined) {
        setState.run(renewed, no);
        values++;
      }
      for (const turn of turns.all(last_turn)) {
        const renewedTurn = sealer.renew(turn.sealed, line_id, 'turn');
        if (renewedTurn === undefined) continue;
        setTurn.run(renewedTurn, turn.id);
        values++;
      }
      const changed = messages.all(no).reduce((sum, each) => sum + message(line_id, each), 0);
      // Marks of one key tell receivers apart again: who only waited since they could not be told apart is let go.
      if (changed > 0) outbox.reorder(no);
      values += changed;
    }
    const last = page.at(-1);
    return { after: last === undefined ? undefined : String(last.no), lines: page.length, values };
  };
}
