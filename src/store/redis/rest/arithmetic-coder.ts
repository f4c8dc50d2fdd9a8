import { StoreUnavailable } from '../../../errors.ts';

/**
 * One bit after the other, each at the price of its odds: a bit that was nearly certain takes next to no room. Writing and
 * reading share one face, so that whoever codes a record says each step of it once, for both ways.
 */
export interface BitCoder {
  readonly isReading: boolean;
  /** Writes `bit`, or reads one and heeds `bit` not. `odds` that it is 1: 1-65535 of 65,536; the same both ways. */
  bit(bit: number, odds: number): number;
}

export interface BitWriter extends BitCoder {
  /** What was written, with as few bytes as tell it; nothing can be written afterwards. */
  end(): Buffer;
}

/**
 * Binary arithmetic coding in 32 bits: the interval is cut at the odds, and its leading bytes leave as soon as they are settled
 * (Witten, Neal and Cleary, "Arithmetic coding for data compression", Communications of the ACM 30(6), 1987).
 */
export function bitWriter(): BitWriter {
  let bytes = Buffer.alloc(4_096);
  let length = 0;
  let low = 0;
  let high = 0xffffffff;

  function push(byte: number): void {
    if (length === bytes.length) bytes = Buffer.concat([bytes, Buffer.alloc(length)]);
    bytes[length++] = byte;
  }

  return {
    isReading: false,
    bit(bit, odds) {
      const cut = cutOf(low, high, odds);
      if (bit === 1) high = cut;
      else low = cut + 1;
      while (((low ^ high) & 0xff000000) === 0) {
        push(high >>> 24);
        low = (low << 8) >>> 0;
        high = ((high << 8) | 0xff) >>> 0;
      }
      return bit;
    },
    end() {
      // The reader goes on with zeros: the shortest number in the interval will do.
      for (let kept = 0; kept < 4 && low !== 0; kept++) {
        const unit = 2 ** (24 - 8 * kept);
        const rounded = Math.ceil(low / unit) * unit;
        if (rounded > high) continue;
        for (let i = 0; i <= kept; i++) push(Math.floor(rounded / 2 ** (24 - 8 * i)) & 0xff);
        break;
      }
      return Buffer.from(bytes.subarray(0, length));
    },
  };
}

/** Bits are taken some bytes ahead of what they mean. */
const mostPastEnd = 64;

/**
 * The way back from `bitWriter`. Whoever reads must know when to stop.
 * @throws StoreUnavailable, from `bit`, far past the end: what was written was something else
 */
export function bitReader(bytes: Uint8Array): BitCoder {
  let at = 4;
  let low = 0;
  let high = 0xffffffff;
  let value = 0;
  for (let i = 0; i < 4; i++) value = ((value << 8) | (bytes[i] ?? 0)) >>> 0;

  return {
    isReading: true,
    bit(_, odds) {
      const cut = cutOf(low, high, odds);
      const bit = value <= cut ? 1 : 0;
      if (bit === 1) high = cut;
      else low = cut + 1;
      while (((low ^ high) & 0xff000000) === 0) {
        value = ((value << 8) | (bytes[at++] ?? 0)) >>> 0;
        if (at > bytes.length + mostPastEnd)
          throw new StoreUnavailable('What is kept of a line at rest cannot be read: it ends too soon.');
        low = (low << 8) >>> 0;
        high = ((high << 8) | 0xff) >>> 0;
      }
      return bit;
    },
  };
}

function cutOf(low: number, high: number, odds: number): number {
  const range = high - low;
  return low + (range >>> 16) * odds + (((range & 0xffff) * odds) >>> 16);
}
