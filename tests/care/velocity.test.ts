import { describe, expect, it } from 'vitest';
import { incrementAtZ, slowestUsualGramsPerDay, velocityZ } from '../../src/care/velocity.ts';
import { oneMonthIncrements } from '../../src/care/who/weight-increments-1-month.ts';
import { twoMonthIncrements } from '../../src/care/who/weight-increments-2-month.ts';
import { publishedIncrements, publishedTwoMonthGirls } from './who/published-increments.ts';

/** z of the published centiles, from any table of the normal distribution. */
const zs = [-2.3263, -1.8808, -1.6449, -1.0364, -0.6745, 0, 0.6745, 1.0364, 1.6449, 1.8808, 2.3263];

describe('WHO weight increments (growth velocity, 2009)', () => {
  for (const sex of ['boy', 'girl'] as const) {
    it(`gives every published one-month centile to the gram, ${sex}`, () => {
      oneMonthIncrements[sex].forEach((row, index) => {
        zs.forEach((z, column) => {
          expect(Math.round(incrementAtZ(row, z, 'oneMonth'))).toBe(
            publishedIncrements[sex][index]?.[column + 2],
          );
        });
      });
    });

    it(`places every published one-month centile at its z, ${sex}`, () => {
      for (const [start = 0, end = 0, ...centiles] of publishedIncrements[sex]) {
        centiles.forEach((grams, column) => {
          const days = Math.min(end - start, 31);
          const z = velocityZ(sex, grams / (end - start), days, (start + end) / 2) ?? Number.NaN;
          expect(Math.abs(z - (zs[column] ?? 0))).toBeLessThan(0.01);
        });
      }
    });
  }

  it('gives every published two-month centile of girls to the gram', () => {
    twoMonthIncrements.girl.forEach((row, index) => {
      zs.forEach((z, column) => {
        expect(Math.round(incrementAtZ(row, z, 'twoMonth'))).toBe(
          publishedTwoMonthGirls[index]?.[column + 2],
        );
      });
    });
  });

  it('places a two-month gain among two-month increments', () => {
    // Girls, 2-4 months, P50: 1307 g in 60.875 days.
    expect(velocityZ('girl', 1307 / 60.875, 60, 91)).toBeCloseTo(0, 2);
  });

  it('has the P5 of each month in grams a day', () => {
    // WHO 2009, P5 over the days of its interval; boys and girls.
    const cuts: readonly (readonly [number, number, number])[] = [
      [30, 21.7, 17.6],
      [61, 14.7, 12.1],
      [92, 9.4, 8.5],
      [122, 6.4, 5.7],
      [153, 3.4, 3.1],
    ];
    for (const [day, boy, girl] of cuts) {
      expect(slowestUsualGramsPerDay('boy', day)).toBeCloseTo(boy, 1);
      expect(slowestUsualGramsPerDay('girl', day)).toBeCloseTo(girl, 1);
    }
    expect(slowestUsualGramsPerDay('boy', 400)).toBeUndefined();
  });
});
