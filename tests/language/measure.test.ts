import { describe, expect, it } from 'vitest';

interface Line {
  readonly way: string;
  readonly found: number;
  readonly all: number;
  readonly share: number;
}
interface Figure {
  readonly name: string;
  readonly lines: readonly Line[];
  readonly misses: readonly unknown[];
}
interface Row {
  readonly id: string;
  readonly tier?: string;
  readonly signs?: readonly object[];
  readonly value?: unknown;
}
type Read = (rows: readonly Row[]) => readonly object[];
type ReadAs = (flags: readonly string[], rows: readonly Row[]) => readonly object[];

// Plain JavaScript, so that it runs under Node 20 without a build.
const { measure, wilson } = (await import(new URL('./measure.mjs', import.meta.url).href)) as {
  measure(half: 'build' | 'measured', read: Read, readAs: ReadAs): readonly Figure[];
  wilson(found: number, all: number): { low: number; high: number };
};

const shares = (figures: readonly Figure[]) => figures.map((figure) => figure.lines.at(-1)?.share ?? -1);

describe('measuring the readers', () => {
  // R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998),
  // table I, method 3 (Wilson score without continuity correction); values from memory.
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('gives the published interval for %i of %i', (found, all, low, high) => {
    const interval = wilson(found, all);
    expect(interval.low).toBeCloseTo(low, 4);
    expect(interval.high).toBeCloseTo(high, 4);
  });

  it('gives full marks to a reader that reads every label', () => {
    const figures = measure(
      'build',
      (rows) =>
        rows.map(({ id, signs = [], tier }) => ({
          id,
          signs: signs.map((s) => ({ ...s, tier, sure: true })),
        })),
      (_flags, rows) => rows.map(({ id, value }) => ({ id, value })),
    );
    expect(shares(figures)).toEqual([1, 1, 1, 1, 1]);
    expect(figures.flatMap((figure) => figure.misses)).toEqual([]);
  });

  it('gives no sensitivity to a reader that finds nothing', () => {
    const figures = measure(
      'build',
      (rows) => rows.map(({ id }) => ({ id, signs: [] })),
      (_flags, rows) => rows.map(({ id }) => ({ id, value: 'nothing' })),
    );
    expect(shares(figures)).toEqual([0, 0, 0, 1, 0]);
  });

  it('counts an alarm on harmless words in full when sure and by half when it only asks', () => {
    const specificity = (sure: boolean) =>
      shares(
        measure(
          'build',
          (rows) => rows.map(({ id }) => ({ id, signs: [{ code: 'fever', who: 'baby', tier: 'A', sure }] })),
          (_flags, rows) => rows.map(({ id }) => ({ id, value: null })),
        ),
      )[3];
    expect(specificity(true)).toBe(0);
    expect(specificity(false)).toBe(0.5);
  });

  it('refuses readings that are missing or out of order', () => {
    const asked: ReadAs = (_flags, rows) => rows.map(({ id }) => ({ id, value: null }));
    const empty = ({ id }: Row) => ({ id, signs: [] });
    expect(() => measure('build', (rows) => rows.slice(1).map(empty), asked)).toThrow('came out');
    expect(() => measure('build', (rows) => rows.map(empty).reverse(), asked)).toThrow(
      'expected the reading of',
    );
  });
});
