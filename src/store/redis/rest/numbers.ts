import type { BitCoder } from './arithmetic-coder.ts';
import { OddsTable } from './odds.ts';

const minuteMs = 60_000;

/** What the odds of a bit of a number hang on: which number it is, and its bits before. */
function spread(mixed: number, bits: number): number {
  return Math.imul(mixed, 0x9e3779b1) >>> (32 - bits);
}

/** Figures, choices among a few, and instants; each with what it is named by, so that like learns from like. */
export class Numbers {
  readonly #choices = new OddsTable(1 << 12, 60);
  readonly #sizes = new OddsTable(1 << 14, 30);

  become(other: Numbers): void {
    this.#choices.become(other.#choices);
    this.#sizes.become(other.#sizes);
  }

  /** Yes or no. `name` 0-255. */
  flag(io: BitCoder, name: number, value: boolean): boolean {
    return this.#choices.code(io, name, value ? 1 : 0) === 1;
  }

  /** One of 2^`bits`, at most 6. `name` 0-59. */
  choice(io: BitCoder, name: number, bits: number, value: number): number {
    let node = 1;
    for (let i = bits - 1; i >= 0; i--)
      node = node * 2 + this.#choices.code(io, 256 + name * 64 + node, (value >>> i) & 1);
    return node - (1 << bits);
  }

  /** A whole number from 0 to 2^53 - 1: how many bits it has, the first of them by what came before, the others as they are. */
  size(io: BitCoder, name: number, value: number): number {
    const lengthIs = bitLength(value);
    let node = 1;
    for (let i = 5; i >= 0; i--)
      node = node * 2 + this.#sizes.code(io, spread(name * 128 + node, 14), (lengthIs >>> i) & 1);
    const length = node - 64;
    let got = length === 0 ? 0 : 1;
    for (let i = length - 2; i >= 0; i--) {
      const bit = io.isReading ? 0 : Math.floor(value / 2 ** i) % 2;
      const depth = length - 2 - i;
      const known =
        depth < 3
          ? this.#sizes.code(io, spread(((name * 64 + length) * 4 + depth) * 16 + got + 0x100000, 14), bit)
          : io.bit(bit, 32_768);
      got = got * 2 + known;
    }
    return got;
  }

  /** An instant after or before another, both whole and 0 to 2^53 - 1. What is planned falls on whole minutes. `name` 0-30. */
  instant(io: BitCoder, name: number, before: number, value: number): number {
    const flags = 4 * name;
    if (this.flag(io, flags, value === before)) return before;
    const isWhole = this.flag(io, flags + 1, value % minuteMs === 0);
    const unit = isWhole ? minuteMs : 1;
    const from = Math.floor(before / unit);
    const to = Math.floor(value / unit);
    const isBack = this.flag(io, flags + 2 + (isWhole ? 1 : 0), to < from);
    const step = this.size(io, 64 + 2 * name + (isWhole ? 1 : 0), Math.abs(to - from));
    return (isBack ? from - step : from + step) * unit;
  }
}

function bitLength(value: number): number {
  return value >= 2 ** 32 ? 64 - Math.clz32(Math.floor(value / 2 ** 32)) : 32 - Math.clz32(value);
}
