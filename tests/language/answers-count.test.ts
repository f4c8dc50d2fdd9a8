import { describe, expect, it } from 'vitest';
import { asked, told } from './answer-reading.ts';

describe('a count', () => {
  it.each([
    ['8', 8],
    ['८', 8],
    ['aath', 8],
    ['आठ बार', 8],
    ['आठ वेळा', 8],
    ['8 times', 8],
    ['about 8', 8],
    ['lagbhag aath baar', 8],
    ['8 baar', 8],
    ['mera bachcha aath baar doodh peeta hai', 8],
    ['24 ghante me 8 baar', 8],
    ['1 din me 8 baar', 8],
    ['10 times a day', 10],
    ['twice', 2],
    ['do baar', 2],
    ['charda', 4],
    ['एकदा', 1],
    ['half dozen', 6],
    ['9 baar doodh do', 9],
  ])('"%s" is %i', (text, value) => {
    expect(told(text, asked.count)).toBe(value);
  });

  it.each([
    ['8-10', 8, 10],
    ['8 -- 10', 8, 10],
    ['8~10', 8, 10],
    ['8 – 10', 8, 10],
    ['8 to 10', 8, 10],
    ['between 8 and 10', 8, 10],
    ['8 se 10 baar', 8, 10],
    ['8 ya 9', 8, 9],
    ['आठ ते दहा', 8, 10],
    ['aath das', 8, 10],
    ['do teen', 2, 3],
    ['८-१०', 8, 10],
  ])('"%s" keeps both ends, %i and %i', (text, min, max) => {
    expect(told(text, asked.count)).toEqual({ min, max });
  });

  it.each([
    'none',
    '0',
    'zero',
    'शून्य',
    'nahi hui',
    'ek bhi nahi',
    'ek bhi bar nahi',
    'koi nahi',
    'काहीच नाही',
    'not once',
  ])('"%s" is none', (text) => {
    expect(told(text, asked.count)).toBe(0);
  });

  it('asks back where it is a guess', () => {
    expect(told('no', asked.count)).toEqual({ doubtful: 0 });
    expect(told('more than 8', asked.count)).toEqual({ doubtful: 8 });
    expect(told('8+', asked.count)).toEqual({ doubtful: 8 });
    expect(told('did not pass stool', asked.count)).toEqual({ doubtful: 0 });
    expect(told('2 din se nahi hui', asked.count)).toEqual({ doubtful: 0 });
    expect(told('maybe 8', asked.count)).toEqual({ doubtful: 8 });
    expect(told('din me 6 raat me 3', asked.count)).toEqual({ doubtful: 9 });
    expect(told('10-8', asked.count)).toEqual({ doubtful: { min: 8, max: 10 } });
  });

  it.each([
    '9 6',
    '9 feeds and 6 wet',
    'every 2 hours',
    'har do ghante',
    '3 kg',
    '8.5',
    '-3',
    'bahut baar',
    '8 9 10',
    '',
    '??',
  ])('"%s" is asked again', (text) => {
    expect(told(text, asked.count)).toBe('unclear');
  });

  it('reads a number that cannot be and says so', () => {
    expect(told('100', asked.count)).toEqual({ outOfRange: 100 });
  });

  it.each(['pata nahi', "don't know", 'आठवत नाही', 'skip'])('"%s" leaves it open', (text) => {
    expect(told(text, asked.count)).toBe('skipped');
  });
});

describe('hours', () => {
  it.each([
    ['3', 3],
    ['3 hours', 3],
    ['half an hour', 0.5],
    ['dedh ghanta', 1.5],
    ['30 minutes', 0.5],
    ['1 hr 30 min', 1.5],
    ['don taas', 2],
  ])('"%s" is %f', (text, value) => {
    expect(told(text, asked.hours)).toBe(value);
  });
});

describe('an age', () => {
  it.each([
    ['5 days', { days: 5 }],
    ['das din ka', { days: 10 }],
    ['daha divsacha', { days: 10 }],
    ['3w 2d', { weeks: 3, days: 2 }],
    ['dedh mahina', { months: 1.5 }],
    ['दीड महिन्याचा', { months: 1.5 }],
    ['1 month 10 days', { months: 1, days: 10 }],
    ['a month', { months: 1 }],
    ['तीन आठवडे', { weeks: 3 }],
    ['1 year 2 months', { years: 1, months: 2 }],
  ])('"%s" keeps her units', (text, age) => {
    expect(told(text, asked.age)).toEqual(age);
  });

  it.each(['5', '3-4 weeks', '3 or 4 weeks', '5 days 6 days', 'do teen mahine'])(
    '"%s" is asked again',
    (text) => {
      expect(told(text, asked.age)).toBe('unclear');
    },
  );
});

describe('a temperature', () => {
  // Celsius = (Fahrenheit - 32) x 5/9: NIST Special Publication 811 (2008), table in B.8.
  it.each([
    ['38.5', 38.5],
    ['38,5 c', 38.5],
    ['100.4', 38],
    ['101 F', 38.3],
    ['ek sau do', 38.9],
    ['१०२', 38.9],
    ['hundred and one', 38.3],
    ['98.6 f', 37],
  ])('"%s" is %f C', (text, celsius) => {
    expect(told(text, asked.temperature)).toBe(celsius);
  });

  it('asks back for a lost point, asks again for what no scale has', () => {
    expect(told('985', asked.temperature)).toEqual({ doubtful: 36.9 });
    expect(told('38 5', asked.temperature)).toEqual({ doubtful: 38.5 });
    for (const text of ['20', 'high', '101-102']) expect(told(text, asked.temperature)).toBe('unclear');
  });
});

describe('a time of day', () => {
  it.each([
    ['17:30', 1050],
    ['5.30 pm', 1050],
    ['subah 8 baje', 480],
    ['shaam 5 baje', 1020],
    ['सकाळी साडेआठ', 510],
    ['raat 2 baje', 120],
    ['half past six pm', 1110],
    ['quarter to 7 pm', 1125],
    ['noon', 720],
    ['12 am', 0],
    ['12 pm', 720],
  ])('"%s" is %i minutes after midnight', (text, minute) => {
    expect(told(text, asked.time)).toBe(minute);
  });

  it('asks back when morning or evening is not told', () => {
    expect(told('5 baje', asked.time)).toEqual({ doubtful: 1020 });
    expect(told('25:00', asked.time)).toBe('unclear');
  });
});
