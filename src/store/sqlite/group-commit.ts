import type { Database } from 'better-sqlite3';
import { AlertCodeTaken, StaleState, StoreUnavailable } from '../../errors.ts';
import type { LogSync } from './log-sync.ts';

/** Runs pieces of writing, many in one durable transaction. */
export interface GroupCommit {
  /** Settles when the work is on disk. Work refuses (StaleState, AlertCodeTaken) before its first write, or not at all. */
  run<T>(work: () => T): Promise<T>;
  /** Writes what still waits, and waits for the disk, at once. */
  flush(): void;
  /** Why nothing can be kept any more until the next start. */
  failure(): StoreUnavailable | undefined;
}

/** What keeps things in memory beside the file, and must hear of transactions. */
export interface GroupHooks {
  readonly onBegin: () => void;
  /** What was written since `onBegin` is not kept. */
  readonly onUndone: () => void;
}

interface Piece {
  readonly work: () => unknown;
  readonly resolve: (value: never) => void;
  readonly reject: (reason: unknown) => void;
}

interface Written {
  readonly piece: Piece;
  readonly outcome: Outcome | undefined;
}

type Outcome = { readonly value: unknown } | { readonly refusal: unknown };

/** A batch keeps the event loop for about 5 ms at this size; nothing is gained above it. */
const largestBatch = 128;

/**
 * One transaction and one sync to disk for all that came in while the sync before was under way, or in one round of the event
 * loop. The sync runs beside the event loop. If a piece fails in an unexpected way nothing of the batch is kept, and unless the
 * disk is at fault each piece runs again by itself: a broken one harms only its own caller.
 *
 * Between a transaction and its sync others can read what it wrote. A power cut may then take away what they saw, but never
 * what they were told of a write of their own: that waits for the same sync or a later one.
 */
export function groupCommit(db: Database, log: LogSync, { onBegin, onUndone }: GroupHooks): GroupCommit {
  const waiting: Piece[] = [];
  /** Written, and not yet known to be on disk. */
  let written: Written[] = [];
  let scheduled = false;
  let syncing = false;
  let failure: StoreUnavailable | undefined;
  const begin = db.prepare('BEGIN IMMEDIATE');
  const commit = db.prepare('COMMIT');
  const rollback = db.prepare('ROLLBACK');

  function write(pieces: readonly Piece[]): void {
    let outcomes: readonly Outcome[];
    try {
      begin.run();
      onBegin();
      outcomes = pieces.map(({ work }) => outcomeOf(work));
      commit.run();
    } catch (error) {
      const workFailed = db.inTransaction && !isAboutDisk(error);
      if (db.inTransaction) rollback.run();
      onUndone();
      if (workFailed && pieces.length > 1) for (const piece of pieces) write([piece]);
      else for (const piece of pieces) piece.reject(storeUnavailable(error));
      return;
    }
    for (const [index, piece] of pieces.entries()) written.push({ piece, outcome: outcomes[index] });
  }

  function next(): void {
    scheduled = false;
    if (syncing || waiting.length === 0) return;
    write(waiting.splice(0, largestBatch));
    if (written.length > 0) sync();
    else if (waiting.length > 0) schedule();
  }

  function sync(): void {
    const told = written;
    written = [];
    syncing = true;
    log.sync((error) => {
      syncing = false;
      if (error !== null) fail(error);
      for (const one of told) tell(one);
      if (waiting.length > 0) schedule();
    });
  }

  function tell({ piece, outcome }: Written): void {
    if (failure !== undefined) piece.reject(failure);
    else settle(piece, outcome);
  }

  /** What is on disk is unknown from here on, and asking the disk again may wrongly say that all is well. */
  function fail(cause: unknown): void {
    failure ??= new StoreUnavailable(
      'The disk failed while the database was written. Look at the disk, then start Eightfeeds again: it finds what was kept.',
      { cause },
    );
    for (const piece of waiting.splice(0)) piece.reject(failure);
  }

  function schedule(): void {
    if (scheduled || syncing) return;
    scheduled = true;
    setImmediate(next);
  }

  return {
    run: (work) =>
      new Promise((resolve, reject) => {
        if (failure !== undefined) return reject(failure);
        waiting.push({ work, resolve, reject });
        schedule();
      }),
    failure: () => failure,
    flush() {
      while (waiting.length > 0) write(waiting.splice(0, largestBatch));
      try {
        log.syncNow();
      } catch (error) {
        fail(error);
      }
      for (const one of written.splice(0)) tell(one);
    },
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
