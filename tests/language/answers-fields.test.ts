import { describe, expect, it } from 'vitest';
import { readFields, readKeys } from '../../src/language/answers/index.ts';
import type { AskedField } from '../../src/language/asked.ts';
import { asked, bare, today, words } from './answer-reading.ts';

const count = asked.count;
const fields: readonly AskedField[] = [
  { field: 'feeds', asked: count, labels: ['feeds', 'feed', 'doodh', 'दूध'] },
  { field: 'wet', asked: count, labels: ['wet', 'wet nappies', 'susu', 'सुसु'] },
  { field: 'stools', asked: count, labels: ['stools', 'potty', 'पॉटी'] },
  { field: 'pain', asked: { kind: 'count', min: 0, max: 2 }, labels: ['pain', 'dard', 'दर्द'] },
];

/** Field by field: the bare value, `?` after a doubtful one, `!` after one out of range. */
function given(text: string, of: readonly AskedField[] = fields): Record<string, string> {
  const { readings } = readFields(text, of, words, { today });
  return Object.fromEntries(
    Object.entries(readings).map(([field, reading]) => {
      if (reading.kind !== 'read') return [field, reading.kind];
      return [
        field,
        `${JSON.stringify(bare(reading.answer))}${reading.sure ? '' : '?'}${reading.inRange ? '' : '!'}`,
      ];
    }),
  );
}

const all = { feeds: '9', wet: '6', stools: '4', pain: '0' };

describe('several answers in one text', () => {
  it.each([
    '9 6 4 0',
    '9,6,4,0',
    '9, 6, 4, 0',
    '9\n6\n4\n0',
    '9-6-4-0',
    '9/6/4/0',
    '9.6.4.0',
    '९ ६ ४ ०',
    'nau chhe chaar zero',
    'नौ छह चार शून्य',
    'feeds 9 wet 6 potty 4 pain 0',
    '9 feed 6 susu 4 potty 0 dard',
    'feeds: 9, wet: 6, stools: 4, pain: 0',
    'dard 0 potty 4 susu 6 doodh 9',
    'दूध 9 सुसु 6 पॉटी 4 दर्द 0',
    'doodh 9 baar, susu 6 baar, potty 4 baar, dard nahi hai',
    '9 6 4 none',
    '9 6 4 no pain',
    '9 6 4 dard nahi',
    'feeds 9 wet 6 potty 4 no pain',
    'feeds 9, 6, 4, 0 pain',
  ])('"%s" fills all four', (text) => {
    expect(given(text)).toEqual(all);
  });

  it('fills by label only what was told', () => {
    expect(given('feeds 9 wet 6')).toEqual({ feeds: '9', wet: '6' });
    expect(given('6 susu')).toEqual({ wet: '6' });
    expect(given('9 wet 6')).toEqual({ feeds: '9', wet: '6' });
    expect(given('wett 6')).toEqual({ wet: '6' });
  });

  it('gives one number alone to the first', () => {
    expect(given('9')).toEqual({ feeds: '9' });
    expect(given('9 baar')).toEqual({ feeds: '9' });
  });

  it('keeps ranges, and what she does not know', () => {
    expect(given('8-10 6 4 0')).toEqual({ ...all, feeds: '{"min":8,"max":10}' });
    expect(given('feed 8-10 susu 6')).toEqual({ feeds: '{"min":8,"max":10}', wet: '6' });
    expect(given('9 6 ? 0')).toEqual({ ...all, stools: 'skipped' });
    expect(given('pata nahi')).toEqual({ feeds: 'skipped' });
  });

  it('doubts fewer numbers than fields, and takes no part of more', () => {
    expect(given('9 6 4')).toEqual({ feeds: '9?', wet: '6?', stools: '4?' });
    const { readings, rest } = readFields('9 6 4 0 2', fields, words, { today });
    expect(readings['feeds']?.kind).toBe('unclear');
    expect(rest).toBe('9 6 4 0 2');
  });

  it('does not part digits written together, unless every field is one digit', () => {
    expect(given('9640')).toEqual({ feeds: '9640!' });
    const choice = { kind: 'choice', options: 5 } as const;
    const three = ['a', 'b', 'c'].map((field) => ({ field, asked: choice, labels: [] }));
    expect(given('135', three)).toEqual({ a: '1', b: '3', c: '5' });
  });

  it('reads fields of different kinds side by side', () => {
    const mixed: readonly AskedField[] = [
      { field: 'weight', asked: asked.weight, labels: ['weight', 'vajan'] },
      { field: 'feeds', asked: count, labels: ['feeds'] },
      { field: 'fever', asked: asked.yesNo, labels: ['fever', 'bukhar'] },
    ];
    const expected = { weight: '3200', feeds: '9', fever: 'false' };
    expect(given('vajan 3 kilo 200 feeds 9 bukhar nahi', mixed)).toEqual(expected);
    expect(given('3.2 kg\n9\nnahi', mixed)).toEqual(expected);
    expect(given('3.2 9 no', mixed)).toEqual(expected);
    expect(given('3 kilo 200 9 nahi', mixed)).toEqual(expected);
    expect(given('3 kg 200 gm, 9, nahi', mixed)).toEqual(expected);
  });

  it('asks again when one field was told twice', () => {
    expect(given('feeds 9 feeds 8')).toEqual({ feeds: 'unclear' });
  });
});

describe('keys pressed in a call', () => {
  it.each([
    ['8', asked.count, { kind: 'count', value: 8 }],
    ['1', asked.yesNo, { kind: 'yes-no', value: true }],
    ['2#', asked.yesNo, { kind: 'yes-no', value: false }],
    ['3', { kind: 'yes-no', unsure: true }, { kind: 'yes-no', value: 'unsure' }],
    ['135', asked.choices, { kind: 'choices', value: [1, 3, 5] }],
    ['0', asked.choices, { kind: 'choices', value: [] }],
    ['3200', asked.weight, { kind: 'weight', grams: 3200 }],
    ['3*2', asked.weight, { kind: 'weight', grams: 3200 }],
    ['05032026', asked.pastDate, { kind: 'date', date: '2026-03-05' }],
    ['0503', asked.pastDate, { kind: 'date', date: '2026-03-05' }],
    ['385', asked.temperature, { kind: 'temperature', celsius: 38.5 }],
    ['1004', asked.temperature, { kind: 'temperature', celsius: 38 }],
    ['0830', asked.time, { kind: 'time-of-day', minuteOfDay: 510 }],
  ] as const)('%s for %o', (digits, question, answer) => {
    expect(readKeys(digits, question, { today })).toMatchObject({ kind: 'read', answer, inRange: true });
  });

  it.each(['', '#', '*', '*#', '12345678901234567890', '9'])('"%s" is no yes or no', (digits) => {
    expect(readKeys(digits, asked.yesNo)).toEqual({ kind: 'unclear' });
  });

  it('never takes a day to come for a birth', () => {
    expect(readKeys('11032026', asked.pastDate, { today })).toEqual({ kind: 'unclear' });
    expect(readKeys('31022026', asked.pastDate, { today })).toEqual({ kind: 'unclear' });
  });
});

describe('a time of day among other figures', () => {
  const home: readonly AskedField[] = [
    { field: 'babies', asked: { kind: 'choice', options: 3 }, labels: ['babies'] },
    { field: 'eats', asked: { kind: 'choice', options: 3 }, labels: ['food'] },
    { field: 'hour', asked: { kind: 'time-of-day' }, labels: ['hour'] },
  ];
  it.each([
    ['1 3 10:30', 630],
    ['1 3 15:05', 905],
    ['1, 3, 9:30', 570],
    ['1 3 १०:३०', 630],
  ])('reads %s whole', (text, minuteOfDay) => {
    const { readings } = readFields(text, home, words, { today });
    expect(readings['hour']).toMatchObject({ kind: 'read', answer: { kind: 'time-of-day', minuteOfDay } });
    expect([readings['babies'], readings['eats']]).toMatchObject([
      { answer: { value: 1 } },
      { answer: { value: 3 } },
    ]);
  });
});
