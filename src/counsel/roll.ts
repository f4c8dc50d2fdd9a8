import type { LineId } from '../dialog/line.ts';
import type { Counsellor } from '../dialog/world.ts';
import { StaleState } from '../errors.ts';
import type { Store } from '../store/store.ts';

/**
 * The roll: the names of all who ever worked here, by id, so that old notes and the list of who did what still name somebody who
 * has left. One record beside the lines; begins as a counsellor's record does: it is no mother's line.
 */
interface RollRecord {
  readonly kind: 'counsellor';
  readonly schema: 1;
  readonly names: Readonly<Record<string, string>>;
}

export interface Roll {
  /** Names by id. Read again at most so often: see `readAgainMs`. */
  names(now: number): Promise<ReadonlyMap<string, string>>;
  /** Writes her down, the first time in this process that she does something. */
  remember(counsellor: Pick<Counsellor, 'id' | 'name'>): Promise<void>;
}

const readAgainMs = 60_000;
const mostTries = 12;

export function openRoll(store: Store, lineOf: (name: string) => LineId): Roll {
  // A space: no counsellor's id has one, so that no counsellor's record is named like it.
  const lineId = lineOf('counsellor roll book');
  const written = new Map<string, string>();
  let known: { readonly at: number; readonly names: ReadonlyMap<string, string> } | undefined;

  const load = async () => {
    const stored = await store.load(lineId);
    const empty: RollRecord = { kind: 'counsellor', schema: 1, names: {} };
    return {
      version: stored?.version ?? 0,
      record: stored === undefined ? empty : (JSON.parse(stored.state) as RollRecord),
    };
  };

  const once = async ({ id, name }: Pick<Counsellor, 'id' | 'name'>): Promise<void> => {
    const { version, record } = await load();
    if (record.names[id] === name) return;
    await store.commit({
      ...{ lineId, expectedVersion: version, reply: '' },
      state: JSON.stringify({ ...record, names: { ...record.names, [id]: name } }),
      ...{ nextDueAt: null, journal: [], outbox: [], alerts: [] },
    });
  };

  return {
    names: async (now) => {
      if (known === undefined || Math.abs(now - known.at) > readAgainMs)
        known = { at: now, names: new Map(Object.entries((await load()).record.names)) };
      return known.names;
    },
    remember: async (counsellor) => {
      if (written.get(counsellor.id) === counsellor.name) return;
      for (let tries = 0; ; tries++) {
        try {
          await once(counsellor);
          written.set(counsellor.id, counsellor.name);
          known = undefined;
          return;
        } catch (error) {
          if (!(error instanceof StaleState) || tries >= mostTries) throw error;
        }
      }
    },
  };
}
