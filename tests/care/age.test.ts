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

it('calls the day of birth day of life 1', () => {
  expect(dayOfLife(0)).toBe(1);
});

it('corrects only for birth before 37 weeks', () => {
  expect(correctedAgeDays(100, 36)).toBe(72);
  expect(correctedAgeDays(100, 37)).toBe(100);
  expect(correctedAgeDays(20, 32)).toBe(-36);
  expect(correctedAgeDays(20, null)).toBe(20);
});
