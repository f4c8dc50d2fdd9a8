import { createHash } from 'node:crypto';
import { createReadStream, statSync } from 'node:fs';
import { open, rename } from 'node:fs/promises';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { StoreUnavailable } from '../../errors.ts';
import type { Sealer } from '../sealing.ts';

/** What was found in a database file that was looked through. */
export interface FileFacts {
  readonly lines: number;
  readonly openAlerts: number;
  /** Messages that have not gone out yet. */
  readonly waitingMessages: number;
  readonly bytes: number;
  /** Of the whole file, in hex. */
  readonly sha256: string;
}

/** Pages copied in one step of the event loop: 1 MB. */
const pagesAtOnce = 250;

/** Sealed values that are opened as a trial of the keys. */
const tried = 20;

/**
 * Copies a database that may be in use, as it is at one moment, by SQLite's online backup. Writers are not held up: in
 * write-ahead mode a reader keeps its own moment, and the copy reads in one. The copy is one file, without a log beside it.
 * @throws StoreUnavailable when the database cannot be read or the copy cannot be written
 */
export async function copyDatabase(from: string, to: string): Promise<void> {
  let source: Database.Database | undefined;
  try {
    source = new Database(from, { fileMustExist: true, timeout: 5_000 });
    // Without this the copy would begin again whenever somebody writes, and might never end.
    source.exec('BEGIN; SELECT count(*) FROM sqlite_schema;');
    await source.backup(to, { progress: () => pagesAtOnce });
    source.exec('COMMIT');
    const copy = new Database(to);
    copy.pragma('journal_mode = DELETE');
    copy.close();
  } catch (cause) {
    throw new StoreUnavailable(`The database ${from} cannot be copied to ${to}.`, { cause });
  } finally {
    source?.close();
  }
}

/**
 * Looks through a database file that nobody uses: SQLite's integrity check, and whether the keys open what is in it.
 * @param sealer undefined: no key is tried
 * @throws StoreUnavailable saying what is wrong with it
 */
export async function lookThrough(file: string, sealer: Sealer | undefined): Promise<FileFacts> {
  let db: Database.Database | undefined;
  try {
    db = new Database(file, { readonly: true, fileMustExist: true });
    const [first] = db.pragma('integrity_check(1)') as readonly { readonly integrity_check: string }[];
    if (first?.integrity_check !== 'ok') throw new StoreUnavailable(`The database ${file} is damaged.`);
    const one = (sql: string) => Number(db?.prepare(sql).pluck().get());
    const facts = {
      lines: one('SELECT count(*) FROM line'),
      openAlerts: one('SELECT count(*) FROM alert WHERE open = 1'),
      waitingMessages: one('SELECT count(*) FROM outbox WHERE settled_at IS NULL'),
    };
    const states = db.prepare<[number], { line_id: string; state: Buffer }>(
      'SELECT line_id, state FROM line ORDER BY no DESC LIMIT ?',
    );
    if (sealer !== undefined)
      for (const { line_id, state } of states.all(tried)) sealer.open(state, line_id, 'state');
    return { ...facts, bytes: statSync(file).size, sha256: await sha256Of(file) };
  } catch (error) {
    if (error instanceof StoreUnavailable) throw error;
    throw new StoreUnavailable(`${file} is no database of Eightfeeds that can be read.`, { cause: error });
  } finally {
    db?.close();
  }
}

/**
 * Takes a database out of use, its log folded in, so that it can be moved or replaced as one file.
 * @throws StoreUnavailable while somebody uses it
 */
export function takeOutOfUse(file: string): void {
  let db: Database.Database | undefined;
  try {
    db = new Database(file, { fileMustExist: true, timeout: 0 });
    db.pragma('journal_mode = DELETE');
  } catch (cause) {
    throw new StoreUnavailable(`The database ${file} is in use. Stop Eightfeeds first.`, { cause });
  } finally {
    db?.close();
  }
}

/**
 * Writes a database anew, so that nothing of what was changed or deleted is left in bytes that are free.
 * @throws StoreUnavailable while somebody uses it, or when there is no room for a second copy beside it
 */
export function writeAnew(file: string): void {
  takeOutOfUse(file);
  const db = new Database(file, { fileMustExist: true, timeout: 0 });
  try {
    db.exec('VACUUM');
  } catch (cause) {
    throw new StoreUnavailable(`The database ${file} cannot be written anew; it is as it was.`, { cause });
  } finally {
    db.close();
  }
}

/** Gives a finished file its name, and returns when both are on disk. What had the name before is gone. */
export async function renameForGood(from: string, to: string): Promise<void> {
  await synced(from);
  await rename(from, to);
  await synced(dirname(to));
}

async function synced(path: string): Promise<void> {
  const handle = await open(path, 'r');
  await handle.sync();
  await handle.close();
}

export async function sha256Of(file: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(file)) hash.update(chunk as Buffer);
  return hash.digest('hex');
}
