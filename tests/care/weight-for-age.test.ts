import { describe, expect, it } from 'vitest';
import { daysInMonth } from '../../src/care/age.ts';
import {
  centileOfZ,
  gramsAtZ,
  type Lms,
  type Sex,
  weightForAgeLms,
  weightForAgeZ,
  zFromLms,
} from '../../src/care/weight-for-age.ts';
import { fieldSheet } from './who/field-sheet.ts';
import { monthlyLms } from './who/monthly-lms.ts';
import { weeklyLms } from './who/weekly-lms.ts';

const sexes: readonly Sex[] = ['boy', 'girl'];

/** SD columns by the published formula, worked here apart from the code: M (1 + L S z)^(1/L). Source: WHO 2006, Methods. */
function sdGrams([, l, kilos, s]: readonly [number, number, number, number], z: number): number {
  return kilos * 1000 * (1 + l * s * z) ** (1 / l);
}

describe('z-scores of weight for age', () => {
  // WHO Child Growth Standards, 2006: tables of 0-13 weeks and of 0-24 months, both sexes.
  for (const sex of sexes) {
    it(`agrees with the weekly table at every week and SD, ${sex}`, () => {
      expect(weeklyLms[sex]).toHaveLength(14);
      for (const row of weeklyLms[sex]) {
        for (const z of [-3, -2, -1, 0, 1, 2, 3]) {
          expect(Math.abs((weightForAgeZ(sex, row[0] * 7, sdGrams(row, z)) ?? 99) - z)).toBeLessThan(0.01);
        }
      }
    });

    it(`agrees with the monthly table at every month and SD, ${sex}`, () => {
      expect(monthlyLms[sex]).toHaveLength(25);
      for (const row of monthlyLms[sex]) {
        for (const z of [-3, -2, -1, 0, 1, 2, 3]) {
          expect(
            Math.abs((weightForAgeZ(sex, row[0] * daysInMonth, sdGrams(row, z)) ?? 99) - z),
          ).toBeLessThan(0.01);
        }
      }
    });

    it(`has the SD weights of the published field sheet, rounded to 100 g, ${sex}`, () => {
      for (const [month, ...kilos] of fieldSheet[sex]) {
        const lms = weightForAgeLms(sex, month * daysInMonth);
        const ours = [-3, -2, -1, 0, 1, 2, 3].map(
          (z) => gramsAtZ(lms ?? { l: 1, medianGrams: 0, s: 0 }, z) / 1000,
        );
        kilos.forEach((kilo, index) => {
          expect(Math.abs((ours[index] ?? 0) - kilo), `${sex} ${month} months, SD ${index - 3}`).toBeLessThan(
            0.054,
          );
        });
      }
    });
  }

  it('measures beyond 3 SD in steps of the gap between the second and the third', () => {
    // WHO 2006, Methods and development: z = 3 + (w - SD3) / (SD3 - SD2), and its mirror.
    for (const sex of sexes) {
      const row = monthlyLms[sex][6];
      if (row === undefined) throw new Error('no row');
      const [sd2, sd3, low2, low3] = [2, 3, -2, -3].map((z) => sdGrams(row, z)) as [
        number,
        number,
        number,
        number,
      ];
      const day = 6 * daysInMonth;
      expect(weightForAgeZ(sex, day, sd3 + 1.5 * (sd3 - sd2))).toBeCloseTo(4.5, 2);
      expect(weightForAgeZ(sex, day, low3 - 1.5 * (low2 - low3))).toBeCloseTo(-4.5, 2);
    }
  });

  it('knows the first-days loss of the daily table', () => {
    // WHO 2006 daily tables: boys' medians 3.3464 kg at birth, 3.3174 kg on day 1; 12 months is day 365.25.
    expect(weightForAgeLms('boy', 0)).toEqual({ l: 0.3487, medianGrams: 3346.4, s: 0.14602 });
    expect(weightForAgeLms('boy', 1)?.medianGrams).toBeCloseTo(3317.4, 5);
    expect(weightForAgeLms('girl', 365)?.medianGrams).toBeCloseTo(8946.2, 5);
    expect(weightForAgeLms('boy', 730)?.medianGrams).toBeCloseTo(12148, -1);
  });

  it('gives nothing outside 0 to 24 months', () => {
    expect(weightForAgeZ('boy', -1, 3000)).toBeUndefined();
    expect(weightForAgeZ('boy', 800, 12_000)).toBeUndefined();
    expect(weightForAgeZ('boy', Number.NaN, 12_000)).toBeUndefined();
  });

  it('rises with weight everywhere, also where L passes zero', () => {
    const nearZero: Lms = { l: 1e-12, medianGrams: 6400, s: 0.124 };
    expect(zFromLms(nearZero, 6400 * Math.exp(0.124))).toBeCloseTo(1, 6);
    for (const sex of sexes) {
      for (let day = 0; day <= 730; day += 7) {
        let last = Number.NEGATIVE_INFINITY;
        for (let grams = 500; grams <= 15_000; grams += 250) {
          const z = weightForAgeZ(sex, day, grams) ?? Number.NaN;
          expect(z).toBeGreaterThan(last);
          last = z;
        }
      }
    }
  });
});

/** Any table of the normal distribution; 1.2816, 1.6449, 1.8808 and 2.3263 are its 10, 5, 3 and 1 per cent points. */
describe('centiles', () => {
  const points: readonly (readonly [number, number])[] = [
    [0, 50],
    [-1, 15.8655],
    [1, 84.1345],
    [-1.2816, 10],
    [-1.6449, 5],
    [-1.8808, 3],
    [-2.3263, 1],
    [-2, 2.275],
    [-3, 0.135],
  ];
  it.each(points)('z %d is the %d centile', (z, centile) => {
    expect(centileOfZ(z)).toBeCloseTo(centile, 2);
  });
});
