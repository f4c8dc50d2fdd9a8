import { describe, expect, it } from 'vitest';
import { asked, told } from './answer-reading.ts';

// Today is Tuesday, 10 March 2026. Weekdays and lengths of months by the Gregorian calendar.
const date = (text: string): unknown => told(text, asked.pastDate);

describe('a day in the past', () => {
  it.each([
    ['5/3/2026', '2026-03-05'],
    ['5-3-26', '2026-03-05'],
    ['5.3', '2026-03-05'],
    ['5 3', '2026-03-05'],
    ['05032026', '2026-03-05'],
    ['2026-03-05', '2026-03-05'],
    ['5 march', '2026-03-05'],
    ['March 5th', '2026-03-05'],
    ['paanch march ko', '2026-03-05'],
    ['5 मार्च', '2026-03-05'],
    ['५ मार्च २०२६', '2026-03-05'],
    ['5 march ko subah 4 baje', '2026-03-05'],
    ['5', '2026-03-05'],
    ['5 tarikh', '2026-03-05'],
    ['21 janvari', '2026-01-21'],
    ['पाच फेब्रुवारी', '2026-02-05'],
    ['15 agast', '2025-08-15'],
  ])('"%s" is %s', (text, day) => {
    expect(date(text)).toBe(day);
  });

  it.each([
    ['aaj', '2026-03-10'],
    ['kal', '2026-03-09'],
    ['कल रात', '2026-03-09'],
    ['काल', '2026-03-09'],
    ['yesterday', '2026-03-09'],
    ['parson', '2026-03-08'],
    ['परसों', '2026-03-08'],
    ['परवा', '2026-03-08'],
    ['narson', '2026-03-07'],
    ['3 din pehle', '2026-03-07'],
    ['tin divsanpurvi', '2026-03-07'],
    ['2 hafte pahle', '2026-02-24'],
    ['a week ago', '2026-03-03'],
    ['somvar ko', '2026-03-09'],
    ['last sunday', '2026-03-08'],
    ['शनिवारी', '2026-03-07'],
  ])('"%s" is %s', (text, day) => {
    expect(date(text)).toBe(day);
  });

  it('takes the latest past month or year for a missing one', () => {
    expect(date('11 march')).toBe('2025-03-11');
    expect(date('10 march')).toBe('2026-03-10');
    expect(date('11')).toBe('2026-02-11');
    expect(date('31')).toBe('2026-01-31');
    expect(date('29 feb')).toBe('2024-02-29');
  });

  it.each([
    '31/2',
    '12/25',
    '29/2/2026',
    '11/3/2026',
    '25 december 2026',
    'tomorrow',
    'उद्या',
    '32',
    '5 or 6 march',
    'feb',
    'diwali',
    '',
  ])('"%s" is asked again', (text) => {
    expect(date(text)).toBe('unclear');
  });

  it('asks back for the weekday that is today, and where the weekday does not fit', () => {
    expect(date('tuesday')).toEqual({ doubtful: '2026-03-03' });
    expect(date('monday 5 march')).toEqual({ doubtful: '2026-03-05' });
    expect(date('thursday 5 march')).toBe('2026-03-05');
  });

  it('leaves kal and parson open when the past is not what was asked', () => {
    expect(told('kal', asked.date)).toEqual({ doubtful: '2026-03-09' });
    expect(told('parson', asked.date)).toEqual({ doubtful: '2026-03-08' });
    expect(told('tomorrow', asked.date)).toBe('2026-03-11');
    expect(told('12/3/2026', asked.date)).toBe('2026-03-12');
  });

  it('flags a day further back than was asked', () => {
    expect(told('5/3/2024', { kind: 'date', past: true, withinDays: 365 })).toEqual({
      outOfRange: '2024-03-05',
    });
  });
});
