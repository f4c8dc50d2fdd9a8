import { describe, expect, it } from 'vitest';
import { allowedFall, crossingReason } from '../../src/care/crossing.ts';
import type { Weighing } from '../../src/care/weighings.ts';

/** NICE NG75: one, two or three centile spaces by birth centile; a centile space is two thirds of an SD. */
describe('how far a baby may fall', () => {
  it.each([
    [undefined, 1.33],
    [-1.35, 0.67],
    [-1.34, 1.33],
    [0, 1.33],
    [1.34, 1.33],
    [1.35, 2],
  ] as const)('born at z %s: %d', (birthZ, fall) => {
    expect(allowedFall(birthZ)).toBe(fall);
  });
});

describe('crossing down', () => {
  /** One z for each 500 g from 4000, so that figures can be read off: 100 g in favour is 0.2 z. */
  const zOf = ({ g }: Weighing): number => (g - 4000) / 500;
  const from = (day: number, g: number) => ({ day, g });

  it('needs four weeks', () => {
    expect(crossingReason([from(30, 4500), from(57, 3000)], zOf, 0)).toBeUndefined();
    expect(crossingReason([from(30, 4500), from(58, 3000)], zOf, 0)?.tier).toBe('C');
  });

  it('looks no further back than day 14', () => {
    expect(crossingReason([from(13, 4500), from(58, 3500)], zOf, 0)).toBeUndefined();
    expect(crossingReason([from(14, 4500), from(58, 3500)], zOf, 0)?.values).toEqual({
      fallZ: 2,
      allowedZ: 1.33,
    });
  });

  it('gives 100 g in her favour', () => {
    expect(crossingReason([from(30, 4500), from(90, 3736)], zOf, 0)).toBeUndefined();
    expect(crossingReason([from(30, 4500), from(90, 3734)], zOf, 0)?.tier).toBe('C');
  });

  it('is for today when the weight is low as well', () => {
    expect(crossingReason([from(30, 4500), from(90, 3001)], zOf, 0)?.tier).toBe('C');
    expect(crossingReason([from(30, 4500), from(90, 2999)], zOf, 0)?.tier).toBe('B');
  });
});
