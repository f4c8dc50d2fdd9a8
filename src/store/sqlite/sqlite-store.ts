import Database from 'better-sqlite3';
import { StoreUnavailable } from '../../errors.ts';
import type { Sealer } from '../sealing.ts';
import type { Store } from '../store.ts';
import { checkCommit, checkWholeLine } from '../commit-check.ts';
import { keepFor } from '../keep-for.ts';
import { alertTable } from './alerts.ts';
import { lineTable } from './commit.ts';
import { dueLines } from './due.ts';
import { groupCommit, storeUnavailable } from './group-commit.ts';
import { lineCache } from './line-cache.ts';
import { outboxTable } from './outbox.ts';
import { logSync } from './log-sync.ts';
import { resealing } from './reseal.ts';
import { migrate } from './schema.ts';
import { turnTable } from './turns.ts';
import { wholeLines } from './whole-line.ts';

/** How to open the embedded store. */
export interface SqliteOptions {
  /** Path of the database file; made when missing. */
  readonly file: string;
  readonly sealer: Sealer;
  /** Pages in the log before it is folded into the file; the process stands still meanwhile. Default 4,000: 16 MB, some 25 ms. */
  readonly walAutocheckpoint?: number;
  /** This process alone works on the file: what a former one held when it died is free at once, and not only when its lease ends. */
  readonly alone?: boolean;
}

/** In commits. Each time more is forgotten than was added, so that the file does not grow with what is no longer needed. */
const forgetEvery = 50;
const forgottenAtOnce = 4 * forgetEvery;

/** Pages kept in memory, in KiB: the upper parts of every index of a million lines. */
const cacheKiB = 65_536;

/** Opened states kept in memory: some 10,000 lines lately used, about 40 MB. */
const cacheCharacters = 40_000_000;

/** How long another process may keep the file locked before a call fails. Longer than any batch, shorter than a webhook. */
const busyTimeoutMs = 1_000;

/**
 * Opens the embedded store: one file, in WAL mode with a sync to disk for every group of commits.
 * @throws StoreUnavailable when the file cannot be opened or was written by a newer Eightfeeds
 */
export function openSqliteStore(options: SqliteOptions): Store {
  const { file, sealer, walAutocheckpoint = 4_000 } = options;
  const db = opened(file, sealer, walAutocheckpoint);
  const cache = lineCache(cacheCharacters);
  const alerts = alertTable(db);
  const turns = turnTable(db, sealer);
  const outbox = outboxTable(db, sealer);
  const due = dueLines(db);
  if (options.alone === true) {
    // In one piece: a death half-way leaves leases, which end by themselves.
    outbox.freeHeld();
    due.freeHeld();
  }
  const tables = { alerts, turns, outbox, due, cache };
  const lines = lineTable(db, sealer, tables);
  const whole = wholeLines(db, sealer, tables);
  const log = logSync(file);
  const group = groupCommit(db, log, { onBegin: turns.begin, onUndone: cache.clear });
  const reseal = resealing(db, sealer, outbox);

  let commits = 0;

  function forget(now: number): void {
    outbox.forgetSettled(now - keepFor.settledMessageMs, forgottenAtOnce);
  }

  /** Reads see whole batches: each begins and ends within one step of the event loop. */
  function read<T>(work: () => T): Promise<T> {
    const failure = group.failure();
    if (failure !== undefined) return Promise.reject(failure);
    try {
      return Promise.resolve(work());
    } catch (error) {
      return Promise.reject(storeUnavailable(error));
    }
  }
  function write<T>(work: () => T): Promise<T> {
    if (!db.open) return Promise.reject(new StoreUnavailable('The store is closed.'));
    return group.run(work);
  }

  return {
    load: (lineId) => read(() => lines.load(lineId)),
    commit: async (change) => {
      checkCommit(change);
      const now = Date.now();
      const work = lines.commit(change, now);
      return write(() => {
        if (++commits % forgetEvery === 0) forget(now);
        return work();
      });
    },
    replyTo: (inboundId, lineId) => read(() => lines.replyTo(inboundId, lineId)),
    takeDueLines: (now, limit, leaseMs) => write(() => due.take(now, limit, leaseMs)),
    takeOutbox: (now, limit, leaseMs) => write(() => outbox.take(now, limit, leaseMs)),
    settleMessage: (id, leaseToken, outcome) => write(() => outbox.settle(id, leaseToken, outcome)),
    untold: (limit) => read(() => outbox.untold(limit)),
    noteTold: (id) => write(() => outbox.noteTold(id)),
    message: (id) => read(() => outbox.byId(id)),
    alertByCode: (code) => read(() => alerts.byCode(code)),
    openAlerts: (limit) => read(() => alerts.open(limit)),
    journal: (lineId, limit, afterSeq = 0) => read(() => lines.journal(lineId, limit, afterSeq)),
    lineIds: (limit, after) => read(() => lines.ids(limit, after ?? '')),
    readLine: (lineId) => read(() => whole.read(lineId)),
    writeLine: async (line) => {
      checkWholeLine(line);
      return write(whole.write(line));
    },
    reseal: (limit, after) => write(() => reseal(limit, after)),
    backlog: (now) =>
      read(() => {
        const dueNow = due.waiting(now);
        const messages = outbox.waiting(now);
        return {
          dueLines: dueNow.count,
          oldestDueAt: dueNow.oldest,
          waitingMessages: messages.count,
          oldestMessageAt: messages.oldest,
          openAlerts: alerts.countOpen(),
        };
      }),
    close: async () => {
      if (!db.open) return;
      group.flush();
      db.close();
      await log.close();
    },
  };
}

function opened(file: string, sealer: Sealer, walAutocheckpoint: number): Database.Database {
  try {
    const db = new Database(file, { timeout: busyTimeoutMs });
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma(`cache_size = -${cacheKiB}`);
    db.pragma(`wal_autocheckpoint = ${walAutocheckpoint}`);
    migrate(db, sealer);
    // From here on the log is synced by `logSync`.
    db.pragma('synchronous = NORMAL');
    return db;
  } catch (error) {
    if (error instanceof StoreUnavailable) throw error;
    throw new StoreUnavailable(
      `The database ${file} cannot be opened. Check that its folder exists and can be written.`,
      {
        cause: error,
      },
    );
  }
}
