import { describe, expect, it } from 'vitest';
import { silenceReason } from '../../src/care/silence.ts';
import { type DayAnswers, trendReasons } from '../../src/care/trend.ts';

const tierOf = (code: string, days: readonly DayAnswers[]) =>
  trendReasons(days).find((r) => r.code === code)?.tier;

/** Common practice, no source. */
describe('silence', () => {
  it.each([
    [1, 13, 'none', undefined],
    [2, 13, 'none', 'C'],
    [3, 13, 'none', 'B'],
    [2, 14, 'none', undefined],
    [3, 14, 'none', 'C'],
    [3, 91, 'none', 'C'],
    [3, 92, 'none', undefined],
    [4, 92, 'none', 'C'],
    [1, 200, 'B', 'B'],
    [1, 200, 'A', 'B'],
    [1, 200, 'C', undefined],
    [0, 5, 'A', undefined],
  ] as const)('%i missed at %i days, open %s: %s', (missed, ageDays, open, tier) => {
    expect(silenceReason(missed, ageDays, open)?.tier).toBe(tier);
  });
});

/** Common practice, no source; pain over 2 weeks: ABM Protocol 26, 2016. */
describe('trends', () => {
  const feeds = (...counts: readonly number[]): DayAnswers[] =>
    counts.map((feeds24h, i) => ({ ageDays: 10 + i, feeds24h }));
  it('sees feeds fall over three days, by three or more', () => {
    expect(tierOf('feeds-falling', feeds(12, 10, 9))).toBe('C');
    expect(tierOf('feeds-falling', feeds(12, 11, 10))).toBeUndefined();
    expect(tierOf('feeds-falling', feeds(12, 12, 9))).toBeUndefined();
    expect(tierOf('feeds-falling', feeds(12, 9))).toBeUndefined();
    expect(tierOf('feeds-falling', [...feeds(12, 10, 9)].reverse())).toBe('C');
    expect(
      tierOf('feeds-falling', [
        { ageDays: 1, feeds24h: 12 },
        { ageDays: 20, feeds24h: 10 },
        { ageDays: 21, feeds24h: 8 },
      ]),
    ).toBeUndefined();
  });

  it('sees pain that lasts two weeks without a day free', () => {
    const pain = (from: number, to: number, kind: 'mild' | 'severe'): DayAnswers[] =>
      [from, from + 5, to].map((ageDays) => ({ ageDays, pain: kind }));
    expect(tierOf('pain-persists', pain(10, 24, 'mild'))).toBe('C');
    expect(tierOf('pain-persists', pain(10, 23, 'mild'))).toBeUndefined();
    expect(tierOf('pain-persists', pain(10, 24, 'severe'))).toBe('B');
    expect(tierOf('pain-persists', [...pain(10, 24, 'mild'), { ageDays: 17, pain: 'none' }])).toBeUndefined();
    expect(tierOf('pain-persists', [...pain(10, 24, 'mild'), { ageDays: 17, pain: null }])).toBe('C');
  });

  it('hears a worry told twice within a week', () => {
    const worry = (...days: readonly number[]): DayAnswers[] =>
      days.map((ageDays) => ({ ageDays, worried: true }));
    expect(tierOf('worry-twice', worry(10, 16))).toBe('B');
    expect(tierOf('worry-twice', worry(10, 17))).toBeUndefined();
    expect(tierOf('worry-twice', worry(10))).toBeUndefined();
  });
});
