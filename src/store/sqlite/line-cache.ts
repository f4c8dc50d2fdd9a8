import type { LineId } from '../../dialog/line.ts';
import type { AlertEntry, StoredLine } from '../store.ts';
import type { RecentInbound } from './recent-inbound.ts';

/** A line as last read or written by this process, opened. */
export interface OpenLine {
  readonly no: number;
  /** What `load` gives: the same object, with the same string, as long as nothing changes. */
  readonly stored: StoredLine;
  readonly journalLength: number;
  readonly dueAt: number | null;
  /** The line's last turn that has a record, 0 when there is none. */
  readonly lastTurn: number;
  readonly recent: RecentInbound;
  /** What the last commit of this process told of its alerts; undefined when that is not known. */
  readonly alerts: readonly AlertEntry[] | undefined;
  /** How often other processes had written to the file when it was last so. */
  readonly others: number;
}

/** Lines lately used. An entry counts only while the file has the same version of the line, or nobody else has written to it. */
export interface LineCache {
  get(lineId: LineId): OpenLine | undefined;
  set(lineId: LineId, line: OpenLine): void;
  forget(lineId: LineId): void;
  clear(): void;
}

/** Beside the state, in characters: the entry's own objects. */
const perEntry = 500;

/** @param mostCharacters of all states together; the line written, or read from the file, longest ago goes first */
export function lineCache(mostCharacters: number): LineCache {
  const lines = new Map<LineId, OpenLine>();
  let characters = 0;

  function forget(lineId: LineId): void {
    const line = lines.get(lineId);
    if (line === undefined) return;
    lines.delete(lineId);
    characters -= sizeOf(line);
  }

  return {
    get: (lineId) => lines.get(lineId),
    set(lineId, line) {
      forget(lineId);
      lines.set(lineId, line);
      characters += sizeOf(line);
      // Looking for the first is dear in a map whose first ones were taken out.
      if (characters <= mostCharacters) return;
      for (const oldest of lines.keys()) {
        if (characters <= mostCharacters) break;
        forget(oldest);
      }
    },
    forget,
    clear() {
      lines.clear();
      characters = 0;
    },
  };
}

function sizeOf({ stored }: OpenLine): number {
  return stored.state.length + perEntry;
}
