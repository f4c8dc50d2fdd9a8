import type { LineId } from '../dialog/line.ts';
import { StaleState } from '../errors.ts';
import type { OutboxMessage, Store } from '../store/store.ts';

/**
 * The duty book: who said that she is off duty, and when the next morning digest is due. One record beside the lines, under an
 * id that no phone number has, so that both outlive a restart. Begins as a counsellor's record does: it is no mother's line.
 */
interface DutyRecord {
  readonly kind: 'counsellor';
  readonly schema: 1;
  /** By counsellor's id, epoch milliseconds until which she is off duty. */
  readonly away: Readonly<Record<string, number>>;
  /** Epoch milliseconds of the next digest; null before the first is planned. */
  readonly digestAt: number | null;
}

/** What a change of the book writes. */
export interface DutyChange {
  readonly away?: Readonly<Record<string, number>>;
  readonly digestAt?: number;
  /** Texts that go out with the change. Ids and lines are given here. */
  readonly messages?: readonly Omit<OutboxMessage, 'id' | 'lineId'>[];
  readonly reply?: string;
}

export interface DutyBook {
  readonly lineId: LineId;
  /** Who is off duty, by id, and until when. Read again at most so often: see `readAgainMs`. */
  away(now: number): Promise<ReadonlyMap<string, number>>;
  digestAt(): Promise<number | null>;
  /**
   * Changes the book in one commit; `act` may run again when somebody else was first.
   * @param inboundId of the text that asked for it; the same text again changes nothing
   * @returns the reply, of the first time where it was asked before
   */
  change(act: (digestAt: number | null) => DutyChange, inboundId?: string): Promise<string>;
}

/** Another process's "off duty" is known here after so long; until then she is told as before, and the alert climbs. */
const readAgainMs = 10_000;
const mostTries = 12;

export function openDutyBook(store: Store, lineOf: (name: string) => LineId): DutyBook {
  // A space: no counsellor's id has one, so that no counsellor's record is named like it.
  const lineId = lineOf('counsellor duty book');
  let known: { readonly at: number; readonly away: ReadonlyMap<string, number> } | undefined;

  const load = async (): Promise<{ readonly version: number; readonly record: DutyRecord }> => {
    const stored = await store.load(lineId);
    const empty: DutyRecord = { kind: 'counsellor', schema: 1, away: {}, digestAt: null };
    return {
      version: stored?.version ?? 0,
      record: stored === undefined ? empty : (JSON.parse(stored.state) as DutyRecord),
    };
  };

  const once = async (act: (digestAt: number | null) => DutyChange, inboundId?: string): Promise<string> => {
    const { version, record } = await load();
    const { away = {}, digestAt = record.digestAt, messages = [], reply = '' } = act(record.digestAt);
    const next: DutyRecord = { ...record, away: { ...record.away, ...away }, digestAt };
    const outcome = await store.commit({
      lineId,
      expectedVersion: version,
      reply,
      state: JSON.stringify(next),
      nextDueAt: digestAt,
      journal: [],
      outbox: messages.map((m, i) => ({ ...m, lineId, id: `${lineId}.${version + 1}.${i}` })),
      alerts: [],
      ...(inboundId === undefined ? {} : { inboundId }),
    });
    known = undefined;
    return outcome.kind === 'repeated' ? outcome.reply : reply;
  };

  return {
    lineId,
    away: async (now) => {
      if (known === undefined || Math.abs(now - known.at) > readAgainMs) {
        known = { at: now, away: new Map(Object.entries((await load()).record.away)) };
      }
      return known.away;
    },
    digestAt: async () => (await load()).record.digestAt,
    change: async (act, inboundId) => {
      for (let tries = 0; ; tries++) {
        try {
          return await once(act, inboundId);
        } catch (error) {
          if (!(error instanceof StaleState) || tries >= mostTries) throw error;
        }
      }
    },
  };
}
