import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asked, told } from './answer-reading.ts';

/** What each language writes: digits of both scripts. Names and digits come from Unicode CLDR through Intl. */
const writings = ['en-IN', 'en-GB', 'hi', 'hi-u-nu-deva', 'mr', 'mr-u-nu-latn'];

const dayMs = 86_400_000;
const anyDay = fc.integer({ min: Date.parse('2025-03-11') / dayMs, max: Date.parse('2026-03-10') / dayMs });

describe('what a language writes out it reads back', () => {
  it.each(writings)('whole numbers in %s', (locale) => {
    const write = new Intl.NumberFormat(locale, { useGrouping: false });
    for (let n = 0; n <= 40; n += 1) expect(told(write.format(n), asked.count)).toBe(n);
  });

  it.each(writings)('weights in grams and in kilos in %s', (locale) => {
    const grams = new Intl.NumberFormat(locale, {
      style: 'unit',
      unit: 'gram',
      unitDisplay: 'long',
      useGrouping: true,
    });
    const kilos = new Intl.NumberFormat(locale, {
      style: 'unit',
      unit: 'kilogram',
      unitDisplay: 'short',
      maximumFractionDigits: 3,
    });
    fc.assert(
      fc.property(fc.integer({ min: 500, max: 9_999 }), (weight) => {
        expect(told(grams.format(weight), asked.weight)).toBe(weight);
        expect(told(kilos.format(weight / 1000), asked.weight)).toBe(weight);
      }),
    );
  });

  it.each(
    writings.flatMap((locale) =>
      (['full', 'long', 'medium'] as const).map((style) => [locale, style] as const),
    ),
  )('days in %s, %s', (locale, dateStyle) => {
    const write = new Intl.DateTimeFormat(locale, { dateStyle, timeZone: 'UTC' });
    fc.assert(
      fc.property(anyDay, (day) => {
        const date = new Date(day * dayMs).toISOString().slice(0, 10);
        expect(told(write.format(day * dayMs), asked.pastDate)).toBe(date);
      }),
    );
  });

  it.each(writings)('a day and month without a year in %s is the latest one past', (locale) => {
    const write = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'long', timeZone: 'UTC' });
    fc.assert(
      fc.property(anyDay, (day) => {
        const date = new Date(day * dayMs).toISOString().slice(0, 10);
        expect(told(write.format(day * dayMs), asked.pastDate)).toBe(date);
      }),
    );
  });

  it.each(writings)('numeric days in %s, day before month', (locale) => {
    const write = new Intl.DateTimeFormat(locale, {
      day: '2-digit',
      month: '2-digit',
      year: 'numeric',
      timeZone: 'UTC',
    });
    expect(told(write.format(Date.parse('2026-02-01')), asked.pastDate)).toBe('2026-02-01');
    expect(told(write.format(Date.parse('2025-12-11')), asked.pastDate)).toBe('2025-12-11');
  });

  it.each(writings)('ages in %s', (locale) => {
    for (const unit of ['day', 'week', 'month', 'year'] as const) {
      const write = new Intl.NumberFormat(locale, { style: 'unit', unit, unitDisplay: 'long' });
      for (const n of [1, 2, 6, 11]) expect(told(write.format(n), asked.age)).toEqual({ [`${unit}s`]: n });
    }
  });
});
