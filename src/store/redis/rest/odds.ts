import type { BitCoder } from './arithmetic-coder.ts';

/** How far one more bit moves the odds, of 32,768, after so many: first half the way, then ever less. */
const steps = Uint16Array.from({ length: 256 }, (_, seen) => Math.floor(32_768 / (seen + 1.6)));

const least = 24;
const most = 65_536 - 24;

/** Odds within what the coder takes, and never so sure that one surprise costs more than 12 bits. */
export function withinReason(odds: number): number {
  return odds < least ? least : odds > most ? most : odds;
}

/** How likely 1 is in each of many circumstances, learnt from what came. Whole numbers only: the same on every machine. */
export class OddsTable {
  readonly odds: Uint16Array;
  readonly seen: Uint8Array;
  readonly #mostSeen: number;

  /** @param mostSeen 1-255: after so many bits old ones begin to be forgotten */
  constructor(size: number, mostSeen: number) {
    this.odds = new Uint16Array(size).fill(32_768);
    this.seen = new Uint8Array(size);
    this.#mostSeen = mostSeen;
  }

  /** Codes a bit at the odds of a circumstance, which learns from it. */
  code(io: BitCoder, circumstance: number, bit: number): number {
    const got = io.bit(bit, withinReason(this.odds[circumstance] ?? 0));
    this.learn(circumstance, got);
    return got;
  }

  learn(circumstance: number, bit: number): void {
    const odds = this.odds[circumstance] ?? 0;
    const seen = this.seen[circumstance] ?? 0;
    const step = steps[seen] ?? 0;
    this.odds[circumstance] =
      bit === 1 ? odds + (((65_535 - odds) * step) >>> 15) : odds - ((odds * step) >>> 15);
    if (seen < this.#mostSeen) this.seen[circumstance] = seen + 1;
  }

  /** Becomes as another table of the same size. */
  become(other: OddsTable): void {
    this.odds.set(other.odds);
    this.seen.set(other.seen);
  }
}
