import type { LineId } from '../dialog/line.ts';
import type { Store } from '../store/store.ts';
import type { Clock } from '../web/line-service.ts';
import { loop, type Loop } from './loop.ts';

export interface DueWorkerParts {
  readonly store: Store;
  readonly clock: Clock;
  readonly fireDue: (lineId: LineId) => Promise<void>;
  readonly onTrouble: (error: unknown) => void;
  /** Told of each look at what is due. */
  readonly onLook?: (at: 'due') => void;
}

/** Long enough for a hundred turns on a slow disk; a dead worker's lines are taken over after it. */
const leaseMs = 30_000;
const atOnce = 100;

/** Takes lines whose due time has come and fires it as an event of the line. One run takes all that is due. */
export function dueWorker(parts: DueWorkerParts): Loop {
  const { store, clock, fireDue, onTrouble } = parts;
  return loop(500, onTrouble, async (goOn) => {
    while (goOn()) {
      const lines = await store.takeDueLines(clock.now(), atOnce, leaseMs);
      parts.onLook?.('due');
      // Side by side, since each waits for the disk: the store writes many lines with one sync.
      await Promise.all(lines.map((line) => fireDue(line).catch(onTrouble)));
      if (lines.length < atOnce) return;
    }
  });
}
