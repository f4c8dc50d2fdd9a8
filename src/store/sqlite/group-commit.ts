import type { Database } from 'better-sqlite3';
import { AlertCodeTaken, StaleState, StoreUnavailable } from '../../errors.ts';

/** Runs pieces of writing, many in one durable transaction. */
export interface GroupCommit {
  /** Settles when the work is on disk. Work refuses (StaleState, AlertCodeTaken) before its first write, or not at all. */
  run<T>(work: () => T): Promise<T>;
  /** Writes what still waits, at once. */
  flush(): void;
}

interface Piece {
  readonly work: () => unknown;
  readonly resolve: (value: never) => void;
  readonly reject: (reason: unknown) => void;
}

type Outcome = { readonly value: unknown } | { readonly refusal: unknown };

/** A batch keeps the event loop for about 10 ms at this size; nothing is gained above it. */
const largestBatch = 128;

/**
 * One sync to disk for all that came in one round of the event loop. If a piece fails in an unexpected way nothing of the
 * batch is kept, and unless the disk is at fault each piece runs again by itself: a broken one harms only its own caller.
 */
export function groupCommit(db: Database): GroupCommit {
  const waiting: Piece[] = [];
  let scheduled = false;
  const begin = db.prepare('BEGIN IMMEDIATE');
  const commit = db.prepare('COMMIT');
  const rollback = db.prepare('ROLLBACK');

  function write(pieces: readonly Piece[]): void {
    let outcomes: readonly Outcome[];
    try {
      begin.run();
      outcomes = pieces.map(({ work }) => outcomeOf(work));
      commit.run();
    } catch (error) {
      const workFailed = db.inTransaction && !isAboutDisk(error);
      if (db.inTransaction) rollback.run();
      if (workFailed && pieces.length > 1) for (const piece of pieces) write([piece]);
      else for (const piece of pieces) piece.reject(storeUnavailable(error));
      return;
    }
    for (const [index, piece] of pieces.entries()) settle(piece, outcomes[index]);
  }

  function flush(): void {
    scheduled = false;
    while (waiting.length > 0) write(waiting.splice(0, largestBatch));
  }

  return {
    run: (work) =>
      new Promise((resolve, reject) => {
        waiting.push({ work, resolve, reject });
        if (scheduled) return;
        scheduled = true;
        setImmediate(flush);
      }),
    flush,
  };
}

/** A full or broken disk, or a file locked by another program, fails every piece alike: trying each alone only takes time. */
function isAboutDisk(error: unknown): boolean {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return /^SQLITE_(FULL|IOERR|BUSY|LOCKED|READONLY|CORRUPT|NOMEM)/.test(code);
}

/** The error to show for anything that SQLite or the disk said no to. */
export function storeUnavailable(error: unknown): StoreUnavailable {
  if (error instanceof StoreUnavailable) return error;
  const code = error instanceof Error && 'code' in error ? ` (${String(error.code)})` : '';
  return new StoreUnavailable(`The database cannot be used now${code}. Nothing of this change was kept.`, {
    cause: error,
  });
}

function outcomeOf(work: () => unknown): Outcome {
  try {
    return { value: work() };
  } catch (error) {
    if (error instanceof StaleState || error instanceof AlertCodeTaken) return { refusal: error };
    throw error;
  }
}

function settle(piece: Piece, outcome: Outcome | undefined): void {
  if (outcome === undefined) return;
  if ('refusal' in outcome) piece.reject(outcome.refusal);
  else piece.resolve(outcome.value as never);
}
