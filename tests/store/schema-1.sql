-- The first schema, as it was: files of that time are brought up to date when they are opened.
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
PRAGMA user_version = 1;
