import { closeSync, fdatasync, fdatasyncSync, openSync } from 'node:fs';

/** Brings the write-ahead log to the disk. */
export interface LogSync {
  /** Calls back when everything written to the log before this call is on disk, or with why it may not be. One at a time. */
  sync(done: (error: Error | null) => void): void;
  /** The same, before it returns. @throws when the disk fails */
  syncNow(): void;
  /** Resolves when no sync is under way any more and the log is let go. */
  close(): Promise<void>;
}

/**
 * SQLite itself syncs within the commit, and the whole process would wait for the disk. So it is told not to
 * (`synchronous = NORMAL`: it still syncs the log before it folds it into the file, and the file after), and the log's bytes are
 * synced here, beside the event loop, before anybody is told that a commit is kept.
 * @param file path of the database; its log must exist
 */
export function logSync(file: string): LogSync {
  const log = openSync(`${file}-wal`, 'r+');
  let whenIdle: (() => void) | undefined;
  let syncing = false;
  return {
    sync(done) {
      syncing = true;
      fdatasync(log, (error) => {
        syncing = false;
        done(error);
        whenIdle?.();
      });
    },
    syncNow: () => fdatasyncSync(log),
    async close() {
      // A number of a closed file may at once be that of another: it must not go away under a sync.
      if (syncing) await new Promise<void>((resolve) => (whenIdle = resolve));
      closeSync(log);
    },
  };
}
