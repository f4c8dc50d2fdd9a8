import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AssessCase, assess, assessReasonCodes } from '../../../src/care/assess.ts';
import { reasonText } from '../../../src/care/reason-text.ts';
import type { Reason } from '../../../src/care/reason.ts';
import { babySignCodes, motherSignCodes } from '../../../src/care/signs.ts';
import { openCalendar } from '../../../src/language/calendar.ts';
import { loadContent, loadDeskWords } from '../../../src/programme/load-content.ts';
import { reasonWords } from '../../../src/web/desk/reason-words.ts';
import { openSpeech } from '../../../src/web/desk/speech.ts';

const words = loadDeskWords();
const parts = {
  words,
  content: loadContent(),
  calendar: openCalendar('Asia/Kolkata'),
  programme: { emergencyNumber: '112' },
};
const speechIn = (language: 'en' | 'hi') => openSpeech(parts, language, Date.UTC(2026, 10, 25));
const [english, hindi] = [speechIn('en'), speechIn('hi')];
const signs: ReadonlySet<string> = new Set([...babySignCodes, ...motherSignCodes]);
const figuresIn = (text: string) => [...text.matchAll(/-?\d+(\.\d+)?/g)].map(([figure]) => figure).sort();

const told = fc.option(fc.nat(20), { nil: undefined });
const someCase: fc.Arbitrary<AssessCase> = fc.record({
  ageDays: fc.nat(300),
  sex: fc.constantFrom('boy' as const, 'girl' as const, null),
  birthWeightGrams: fc.option(fc.integer({ min: 1200, max: 4800 }), { nil: undefined }),
  gestationWeeks: fc.option(fc.integer({ min: 28, max: 42 }), { nil: undefined }),
  weights: fc.array(fc.record({ day: fc.nat(300), g: fc.integer({ min: 1, max: 12_000 }) }), {
    maxLength: 5,
  }),
  feeds24h: told,
  wetNappies24h: told,
  stools24h: told,
  longestGapHours: told,
  missedInARow: fc.nat(5),
});

describe('what a care rule found, in the words of the desk', () => {
  it('is there for every code in both languages', () => {
    for (const language of ['en', 'hi'])
      for (const code of assessReasonCodes.filter((c) => !signs.has(c)))
        expect([code, words.has(`found.${code}`, language)]).toEqual([code, true]);
  });

  it('is in English what `eightfeeds assess` says, and has the same figures in Hindi, for any case', () => {
    fc.assert(
      fc.property(someCase, (known) => {
        for (const reason of assess(known).reasons) {
          if (signs.has(reason.code)) continue;
          expect(reasonWords(reason, english)).toBe(reasonText(reason));
          const said = reasonWords(reason, hindi);
          expect(said).toMatch(/^[\u0900-\u097f\s\dA-Za-z%().,:;{}-]*।$/u);
          expect(said).not.toMatch(/\{\{|undefined|NaN|[a-z]{2}/u);
        }
      }),
    );
  });

  const reason = (code: string, values: Reason['values']): Reason => ({
    code,
    tier: 'C',
    values,
    source: 'common practice, no source',
  });

  // Invented figures, one reason for each shape of values.
  it.each([
    reason('weight-loss', { lossPercent: 11, lostGrams: 320 }),
    reason('weight-falling', { lostGrams: 90, days: 1 }),
    reason('not-regained', { shortGrams: 120, day: 16 }),
    reason('gain-slow', { gramsPerDay: 12, days: 9, usualGramsPerDay: 20 }),
    reason('gain-slow', { gramsPerDay: 12, days: 9 }),
    reason('weight-doubtful', { day: 8, why: 'ten-times' }),
    reason('weight-doubtful', { day: 8, why: 'too-light', ifTrue: 'A' }),
    reason('age-corrected', { gestationWeeks: 33 }),
    reason('crossing-down', { fallZ: 1.4 }),
    reason('weight-low', { z: -2.41 }),
    reason('concerns-together', { count: 3 }),
    reason('feeds-falling', { from: 10, to: 6, days: 3 }),
  ])('$code keeps its figures', (one) => {
    expect(reasonWords(one, english)).toBe(reasonText(one));
    const isOrdinal = one.code === 'crossing-down';
    expect(figuresIn(reasonWords(one, hindi))).toEqual(
      isOrdinal ? expect.arrayContaining(['1.4']) : figuresIn(reasonWords(one, english)),
    );
  });

  it('names a sign as the alerts do, with what was measured', () => {
    const fever = reason('fever', { who: 'baby', temperatureC: 38.2 });
    expect(reasonWords(fever, english)).toBe('baby has fever (38.2 C).');
    expect(reasonWords(fever, hindi)).toContain('38.2 डिग्री');
  });

  it('says something of a code that it does not know', () => {
    expect(reasonWords(reason('of-next-year', {}), english)).toBe('Something in her answers stands out.');
  });
});
