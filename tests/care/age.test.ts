import fc from 'fast-check';
import { expect, it } from 'vitest';
import { ageInDays, correctedAgeDays, dayOfLife } from '../../src/care/age.ts';

it('counts whole days from birth, over month, leap-year and clock changes', () => {
  expect(ageInDays('2026-11-25', '2026-11-25')).toBe(0);
  expect(ageInDays('2026-10-20', '2026-11-03')).toBe(14);
  expect(ageInDays('2028-02-28', '2028-03-01')).toBe(2);
  expect(ageInDays('2027-02-28', '2027-03-01')).toBe(1);
  expect(ageInDays('2024-11-25', '2026-11-25')).toBe(730);
  expect(ageInDays('2026-11-26', '2026-11-25')).toBe(-1);
});

it.each(['2026-02-30', '2026-13-01', '26-01-01', '', '2026-1-1', '2026-01-01T00:00'])('refuses %j', (day) => {
  expect(() => ageInDays(day, '2026-11-25')).toThrow(RangeError);
});

// Reference: Date of ECMAScript, which counts days of the Gregorian calendar from 1 January 1970.
it('counts and refuses days as Date does, in any year', () => {
  const two = (n: number) => String(n).padStart(2, '0');
  const day = fc
    .tuple(
      fc.integer({ min: 100, max: 9999 }),
      fc.integer({ min: 0, max: 13 }),
      fc.integer({ min: 0, max: 32 }),
    )
    .map(([y, m, d]) => `${String(y).padStart(4, '0')}-${two(m)}-${two(d)}`);
  fc.assert(
    fc.property(day, (text) => {
      const at = Date.parse(`${text}T00:00:00Z`);
      const isDay = !Number.isNaN(at) && new Date(at).toISOString().startsWith(text);
      if (isDay) expect(ageInDays('1970-01-01', text)).toBe(at / 86_400_000);
      else expect(() => ageInDays('1970-01-01', text)).toThrow(RangeError);
    }),
    { numRuns: 3000, examples: [['2000-02-29'], ['1900-02-29'], ['2100-02-29'], ['2024-02-29']] },
  );
});

it('calls the day of birth day of life 1', () => {
  expect(dayOfLife(0)).toBe(1);
});

it('corrects only for birth before 37 weeks', () => {
  expect(correctedAgeDays(100, 36)).toBe(72);
  expect(correctedAgeDays(100, 37)).toBe(100);
  expect(correctedAgeDays(20, 32)).toBe(-36);
  expect(correctedAgeDays(20, null)).toBe(20);
});
