import type { Database } from 'better-sqlite3';
import { StoreUnavailable } from '../../errors.ts';
import type { Sealer } from '../sealing.ts';
import { foldTurns } from './fold-turns.ts';

/** One step: what is run, and what must be sealed anew in the middle of it. */
type Step = string | ((db: Database, sealer: Sealer) => void);

/**
 * What is kept, in numbered steps; a step is never edited once released. `no` is a line's number in this file, so that the
 * long id stands once. `seq` of `outbox` is the order of writing; `blocked` is 1
 * while an earlier message to the same receiver must go first. `kept_at` and `settled_at` are the machine's clock. Columns that end in `_at`, `_until`, `not_before` and
 * `send_before` are epoch milliseconds. `sealed` and `state`, `reply`, `body`, `why` are sealed values.
 *
 * Since step 2 a turn is one row of `turn`: `before` is the line's turn before it (0: none), `first_seq` the place in the
 * journal of the first of its `entries`, `inbound` a hash of the inbound id. `line.last_turn` is where a line's turns begin,
 * going back. The state stands last in its row, so that the rest is read without it. Since step 5 `line.lease_until` is not used.
 */
const migrations: readonly Step[] = [
  `
  CREATE TABLE line (
    no INTEGER PRIMARY KEY,
    line_id TEXT NOT NULL UNIQUE,
    version INTEGER NOT NULL,
    journal_length INTEGER NOT NULL,
    due_at INTEGER,
    lease_until INTEGER NOT NULL DEFAULT 0,
    state BLOB NOT NULL
  );
  CREATE INDEX line_due ON line (due_at) WHERE due_at IS NOT NULL;

  CREATE TABLE inbound (
    no INTEGER NOT NULL,
    inbound_id TEXT NOT NULL,
    kept_at INTEGER NOT NULL,
    reply BLOB NOT NULL,
    PRIMARY KEY (no, inbound_id)
  ) WITHOUT ROWID;
  CREATE INDEX inbound_kept ON inbound (kept_at);

  CREATE TABLE journal (
    no INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    at INTEGER NOT NULL,
    kind TEXT NOT NULL,
    body BLOB NOT NULL,
    PRIMARY KEY (no, seq)
  ) WITHOUT ROWID;

  CREATE TABLE alert (
    alert_id TEXT PRIMARY KEY,
    no INTEGER NOT NULL,
    code TEXT NOT NULL,
    tier TEXT NOT NULL,
    raised_at INTEGER NOT NULL,
    open INTEGER NOT NULL
  ) WITHOUT ROWID;
  CREATE UNIQUE INDEX alert_open_code ON alert (code) WHERE open = 1;
  CREATE INDEX alert_code ON alert (code, raised_at);
  CREATE INDEX alert_urgent ON alert (tier, raised_at, alert_id) WHERE open = 1;

  CREATE TABLE outbox (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    no INTEGER NOT NULL,
    channel TEXT NOT NULL,
    sealed BLOB NOT NULL,
    receiver_mark TEXT NOT NULL,
    language TEXT NOT NULL,
    purpose TEXT NOT NULL,
    priority INTEGER NOT NULL,
    not_before INTEGER NOT NULL,
    send_before INTEGER,
    state TEXT NOT NULL DEFAULT 'waiting',
    blocked INTEGER NOT NULL DEFAULT 0,
    attempts INTEGER NOT NULL DEFAULT 0,
    may_have_been_sent INTEGER NOT NULL DEFAULT 0,
    lease_until INTEGER NOT NULL DEFAULT 0,
    lease_token TEXT,
    carrier_id TEXT,
    why BLOB,
    settled_at INTEGER
  );
  CREATE INDEX outbox_ready ON outbox (priority, not_before, seq, lease_until) WHERE settled_at IS NULL AND blocked = 0;
  CREATE INDEX outbox_active ON outbox (not_before) WHERE settled_at IS NULL;
  CREATE INDEX outbox_order ON outbox (no, seq) WHERE settled_at IS NULL;
  CREATE INDEX outbox_expiry ON outbox (send_before) WHERE settled_at IS NULL AND send_before IS NOT NULL;
  CREATE INDEX outbox_settled ON outbox (settled_at) WHERE settled_at IS NOT NULL;
  `,
  (db, sealer) => {
    db.exec(`
      CREATE TABLE turn (
        id INTEGER PRIMARY KEY,
        before INTEGER NOT NULL,
        first_seq INTEGER NOT NULL,
        entries INTEGER NOT NULL,
        inbound INTEGER,
        kept_at INTEGER NOT NULL,
        sealed BLOB NOT NULL
      );
      CREATE TABLE line_2 (
        no INTEGER PRIMARY KEY,
        line_id TEXT NOT NULL UNIQUE,
        version INTEGER NOT NULL,
        journal_length INTEGER NOT NULL,
        due_at INTEGER,
        lease_until INTEGER NOT NULL DEFAULT 0,
        last_turn INTEGER NOT NULL DEFAULT 0,
        state BLOB NOT NULL
      );
      INSERT INTO line_2 (no, line_id, version, journal_length, due_at, lease_until, state)
        SELECT no, line_id, version, journal_length, due_at, lease_until, state FROM line;
      DROP TABLE line;
      ALTER TABLE line_2 RENAME TO line;
      CREATE INDEX line_due ON line (due_at) WHERE due_at IS NOT NULL;
    `);
    foldTurns(db, sealer);
    db.exec('DROP TABLE inbound; DROP TABLE journal;');
  },
  // With settled messages and closed alerts too, so that all of a line's are found without a search.
  'DROP INDEX outbox_order; CREATE INDEX outbox_order ON outbox (no, seq); CREATE INDEX alert_line ON alert (no);',
  // 1 while the line has not been told of a message's end.
  'ALTER TABLE outbox ADD COLUMN untold INTEGER NOT NULL DEFAULT 0; CREATE INDEX outbox_untold ON outbox (settled_at) WHERE untold = 1;',
  // Due times in narrow rows of their own: what taking them costs must not grow with the lines around them.
  `CREATE TABLE due (
     at INTEGER NOT NULL,
     no INTEGER NOT NULL,
     line_id TEXT NOT NULL,
     lease_until INTEGER NOT NULL DEFAULT 0,
     PRIMARY KEY (at, no)
   ) WITHOUT ROWID;
   INSERT INTO due (at, no, line_id, lease_until) SELECT due_at, no, line_id, lease_until FROM line WHERE due_at IS NOT NULL;
   DROP INDEX line_due;`,
];

/** Brings the file up to date, each step all or nothing. @throws StoreUnavailable when a newer Eightfeeds wrote the file */
export function migrate(db: Database, sealer: Sealer): void {
  db.transaction(() => {
    const done = Number(db.pragma('user_version', { simple: true }));
    if (done > migrations.length) {
      throw new StoreUnavailable(
        `The database has schema ${done}; this Eightfeeds knows ${migrations.length}. Run the newer Eightfeeds that wrote it.`,
      );
    }
    for (const [index, step] of migrations.entries()) {
      if (index < done) continue;
      if (typeof step === 'string') db.exec(step);
      else step(db, sealer);
    }
    db.pragma(`user_version = ${migrations.length}`);
  }).immediate();
}
