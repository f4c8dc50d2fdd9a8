import { createHash } from 'node:crypto';
import type { LineId } from '../dialog/line.ts';
import { StaleState } from '../errors.ts';
import type { OutboxMessage, Store } from '../store/store.ts';
import { type CounsellorRecord, counsellorRecordName, newCounsellorRecord } from './counsellor-record.ts';

/** What is written down of the use of the desk, and of texts that ask for somebody else's mother. */
export const auditActions = [
  'code-sent',
  'code-refused',
  'unknown-number',
  'wrong-code',
  'signed-in',
  'signed-out',
  'form-refused',
  'viewed',
  'not-hers',
  'placed',
  'rhythm',
  'birth',
  'took',
  'noted',
  'closed',
  'opened-again',
  'handed-over',
  'wrote-to-her',
  'looked-for',
  'read-audit',
] as const;
export type AuditAction = (typeof auditActions)[number];

/** What was done, and to what: an id or an alert's code, never a number or a name. */
export interface Deed {
  readonly action: AuditAction;
  readonly object?: string;
}

export interface AuditEntry extends Deed {
  readonly at: number;
  /** Counsellor's id; `nobody` for who could not be told. */
  readonly by: string;
}

/** Audit entries of one counsellor, oldest first, and whether each still follows from the one before. */
export interface AuditLog {
  readonly entries: readonly AuditEntry[];
  readonly unbroken: boolean;
}

/** What a change of a record writes. Null: nothing at all. */
export interface RecordChange<T> {
  readonly record: CounsellorRecord;
  readonly deeds?: readonly Deed[];
  /** A code to be sent. Its id and line are given here. */
  readonly message?: Omit<OutboxMessage, 'id' | 'lineId'>;
  readonly answer: T;
}

export interface Accounts {
  read(counsellorId: string): Promise<CounsellorRecord>;
  /** Changes a record and writes the deeds down, in one commit. `act` may run again when somebody else was first. */
  change<T>(
    counsellorId: string,
    act: (record: CounsellorRecord) => RecordChange<T> | { readonly answer: T },
  ): Promise<T>;
  /** Writes down what she did. */
  log(counsellorId: string, deed: Deed): Promise<void>;
  audit(counsellorId: string): Promise<AuditLog>;
}

const mostTries = 12;
const journalPage = 1_000;

/** Counsellors' records in the store. Times of the audit log are those of the line's clock, as in the mothers' journals. */
export function openAccounts(store: Store, lineOf: (name: string) => LineId, now: () => number): Accounts {
  const idOf = (counsellorId: string) => lineOf(counsellorRecordName(counsellorId));

  const once = async <T>(
    counsellorId: string,
    act: (record: CounsellorRecord) => RecordChange<T> | { readonly answer: T },
  ): Promise<T> => {
    const lineId = idOf(counsellorId);
    const stored = await store.load(lineId);
    const record =
      stored === undefined ? newCounsellorRecord() : (JSON.parse(stored.state) as CounsellorRecord);
    const change = act(record);
    if (!('record' in change)) return change.answer;
    const at = now();
    let head = record.auditHead;
    const journal = (change.deeds ?? []).map((deed) => {
      head = linkAfter(head, { ...deed, at, by: counsellorId });
      return { at, kind: 'audit', body: JSON.stringify({ ...deed, link: head }) };
    });
    const version = stored?.version ?? 0;
    await store.commit({
      lineId,
      expectedVersion: version,
      reply: '',
      state: JSON.stringify({ ...change.record, auditHead: head }),
      nextDueAt: null,
      journal,
      outbox:
        change.message === undefined ? [] : [{ ...change.message, lineId, id: `${lineId}.${version + 1}` }],
      alerts: [],
    });
    return change.answer;
  };

  const accounts: Accounts = {
    read: async (counsellorId) => {
      const stored = await store.load(idOf(counsellorId));
      return stored === undefined ? newCounsellorRecord() : (JSON.parse(stored.state) as CounsellorRecord);
    },
    change: async (counsellorId, act) => {
      for (let tries = 0; ; tries++) {
        try {
          return await once(counsellorId, act);
        } catch (error) {
          if (!(error instanceof StaleState) || tries >= mostTries) throw error;
        }
      }
    },
    log: (counsellorId, deed) =>
      accounts.change(counsellorId, (record) => ({ record, deeds: [deed], answer: undefined })),
    audit: async (counsellorId) => {
      const lineId = idOf(counsellorId);
      const entries: AuditEntry[] = [];
      let head = '';
      let unbroken = true;
      for (let after = 0; ; ) {
        const page = await store.journal(lineId, journalPage, after);
        for (const { at, body } of page) {
          const { link, ...deed } = JSON.parse(body) as Deed & { readonly link: string };
          const entry = { ...deed, at, by: counsellorId };
          head = linkAfter(head, entry);
          unbroken &&= head === link;
          entries.push(entry);
        }
        const last = page.at(-1);
        if (last === undefined || page.length < journalPage) break;
        after = last.seq;
      }
      const { auditHead } = await accounts.read(counsellorId);
      // Read after the entries: a deed written down meanwhile makes the head newer, which is no fault.
      const known =
        unbroken && (head === auditHead || (await store.journal(lineId, 1, entries.length)).length > 0);
      return { entries, unbroken: known };
    },
  };
  return accounts;
}

/** Each entry holds a hash of itself and of the one before: one that is changed or taken out breaks all that follow. */
function linkAfter(head: string, { at, by, action, object }: AuditEntry): string {
  return createHash('sha256')
    .update(JSON.stringify([head, at, by, action, object ?? null]))
    .digest('base64url');
}
