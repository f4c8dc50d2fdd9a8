import type { LineId, LineState } from './dialog/line.ts';

/** The states of lines lately used, read from their JSON already. */
export interface LineStates {
  /** The state that the text holds. Never changed by anybody: the next turn is given the same object. */
  of(lineId: LineId, text: string): LineState;
  /** What was just kept of a line, with the text that was kept. */
  keep(lineId: LineId, text: string, state: LineState): void;
}

/** Characters of JSON whose states are held: some 30 MB of memory, the lines of the last minutes. */
const mostCharacters = 8_000_000;

/**
 * A check-in is two or three texts within minutes, and reading a state takes longer than looking whether it is the one known:
 * the text tells, so that what another process wrote is never taken for what this one knows.
 */
export function openLineStates(most: number = mostCharacters): LineStates {
  const known = new Map<LineId, { readonly text: string; readonly state: LineState }>();
  let characters = 0;

  const keep = (lineId: LineId, text: string, state: LineState): void => {
    // Taken out and put in again: the map's first is the one not used for longest.
    characters += text.length - (known.get(lineId)?.text.length ?? 0);
    known.delete(lineId);
    known.set(lineId, { text, state });
    // Looking for the first is dear in a map whose first ones were taken out.
    if (characters <= most) return;
    for (const [first, { text: dropped }] of known) {
      if (characters <= most) break;
      known.delete(first);
      characters -= dropped.length;
    }
  };

  return {
    of: (lineId, text) => {
      const found = known.get(lineId);
      if (found?.text === text) return found.state;
      const state = JSON.parse(text) as LineState;
      keep(lineId, text, state);
      return state;
    },
    keep,
  };
}
