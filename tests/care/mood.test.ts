import { describe, expect, it } from 'vitest';
import { isMoodTalkDue, moodReason } from '../../src/care/mood.ts';

/** PHQ-2: Kroenke, Spitzer, Williams 2003, two items 0-3, 3 or more positive. */
describe('mood', () => {
  it.each([
    [0, 0, undefined],
    [1, 0, undefined],
    [1, 1, 'C'],
    [2, 0, 'C'],
    [1, 2, 'B'],
    [3, 0, 'B'],
    [3, 3, 'B'],
    [3, null, 'B'],
    [2, null, 'C'],
    [null, null, undefined],
  ] as const)('answers %s and %s give %s', (littleInterest, feelingDown, tier) => {
    expect(moodReason({ littleInterest, feelingDown })?.tier).toBe(tier);
  });

  it('is tier A for any thought of harm, whatever the score', () => {
    expect(moodReason({ littleInterest: 0, feelingDown: 0, thoughtsOfHarm: true })?.tier).toBe('A');
  });

  it('refuses an answer out of range', () => {
    expect(() => moodReason({ littleInterest: 4 })).toThrow(RangeError);
    expect(() => moodReason({ feelingDown: 1.5 })).toThrow(RangeError);
  });

  it('is asked at 2, 6 and 12 weeks, once each, and when her words suggest it', () => {
    expect(isMoodTalkDue(13, [])).toBe(false);
    expect(isMoodTalkDue(14, [])).toBe(true);
    expect(isMoodTalkDue(16, [14])).toBe(false);
    expect(isMoodTalkDue(42, [14])).toBe(true);
    expect(isMoodTalkDue(84, [14, 42])).toBe(true);
    expect(isMoodTalkDue(84, [14, 42, 84])).toBe(false);
    expect(isMoodTalkDue(120, [])).toBe(false);
    expect(isMoodTalkDue(5, [], true)).toBe(true);
  });
});
