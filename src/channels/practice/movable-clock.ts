import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface MovableClock {
  now(): number;
  /** Moves to an instant, epoch milliseconds; never back. */
  moveTo(at: number): void;
}

/** A clock that runs and can be moved forward. How far it was moved is kept, so that a restart does not go back in time. */
export function movableClock(dataDir: string, realNow: () => number): MovableClock {
  const file = join(dataDir, 'practice-clock');
  let ahead = existsSync(file) ? Number(readFileSync(file, 'utf8')) || 0 : 0;
  return {
    now: () => realNow() + ahead,
    moveTo: (at) => {
      const step = at - (realNow() + ahead);
      if (step <= 0) return;
      ahead += step;
      writeFileSync(file, String(ahead));
    },
  };
}
