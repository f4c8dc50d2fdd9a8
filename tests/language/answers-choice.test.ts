import { describe, expect, it } from 'vitest';
import { asked, told } from './answer-reading.ts';

describe('yes or no', () => {
  it.each([
    'haan ji',
    'ha',
    'han',
    'haaaan',
    'hmm',
    'ji',
    'yes',
    'YESSS',
    'y',
    'ok',
    'thik hai',
    'bilkul',
    'hoy',
    'ho',
    'ho na',
    'हो',
    'होय',
    'हाँ',
    'हां',
    'हाँजी',
    'जी हाँ',
    '1',
    'ek',
    'एक',
    'yes sister',
    'haan dard hai',
    'yes 2 times',
  ])('"%s" is yes', (text) => {
    expect(told(text, asked.yesNo)).toBe(true);
  });

  it.each([
    'nahi',
    'nai',
    'nhi',
    'na',
    'no',
    'nooo',
    'nope',
    'nako',
    'नाही',
    'नको',
    'नहीं',
    'नही',
    'bilkul nahi',
    'ji nahi',
    'thik nahi hai',
    'not really',
    'not yet',
    'dard nahi hai',
    '2',
    'do',
    'दोन',
    'no pain',
  ])('"%s" is no', (text) => {
    expect(told(text, asked.yesNo)).toBe(false);
  });

  it.each([
    'yes but no',
    'haan nahi',
    'हो नाही',
    'haan ya nahi',
    'no I mean yes',
    '12',
    '3',
    '2 yes',
    'sometimes',
    'sab thik hai',
    'hello',
    '?',
    '',
  ])('"%s" is asked again', (text) => {
    expect(told(text, asked.yesNo)).toBe('unclear');
  });

  it.each(["I don't know", 'pata nahi', 'पता नहीं', 'mahit nahi', 'माहीत नाही', 'shayad', 'not sure'])(
    '"%s" is unsure where that may be said, else left open',
    (text) => {
      expect(told(text, asked.yesNo)).toBe('skipped');
      expect(told(text, { kind: 'yes-no', unsure: true })).toBe('unsure');
    },
  );
});

describe('a yes or no that goes on', () => {
  it.each([
    ['haan, uth nahi raha', true],
    ['yes he is not drinking', true],
    ['nahi wo theek se pee raha hai', false],
  ])('"%s" is asked back', (text, value) => {
    expect(told(text, asked.yesNo)).toEqual({ doubtful: value });
  });
});

describe('one of several', () => {
  it.each([
    ['3', 3],
    ['३', 3],
    ['teen', 3],
    ['option 3', 3],
    ['no. 3', 3],
    ['3rd', 3],
    ['the third one', 3],
    ['teesra', 3],
    ['तिसरा', 3],
  ])('"%s" is %i', (text, value) => {
    expect(told(text, asked.choice)).toBe(value);
  });

  it('asks again for two, flags one that is not there', () => {
    for (const text of ['1 or 2', '1 2', 'not 2', 'last one', 'no'])
      expect(told(text, asked.choice)).toBe('unclear');
    expect(told('7', asked.choice)).toEqual({ outOfRange: 7 });
  });

  it("knows the options' own words, however spelt", () => {
    const sex = {
      kind: 'choice',
      options: 2,
      words: [
        ['girl', 'beti', 'ladki'],
        ['boy', 'beta', 'ladka'],
      ],
    } as const;
    expect(told('ladki hai', sex)).toBe(1);
    expect(told('LARKA boy', sex)).toBe(2);
    expect(told('girl and boy', sex)).toBe('unclear');
    expect(told('ek ladka', sex)).toBe(2);
  });
});

describe('any of several', () => {
  it.each([
    ['135', [1, 3, 5]],
    ['१३५', [1, 3, 5]],
    ['5 3 1', [1, 3, 5]],
    ['1,3,5', [1, 3, 5]],
    ['1-3-5', [1, 3, 5]],
    ['1 and 3', [1, 3]],
    ['ek aur teen', [1, 3]],
    ['एक आणि तीन', [1, 3]],
    ['1st and 3rd', [1, 3]],
    ['1 1 3', [1, 3]],
    ['2 se 4', [2, 3, 4]],
    ['none', []],
    ['0', []],
    ['koi nahi', []],
    ['इनमें से कोई नहीं', []],
    ['काहीच नाही', []],
    ['sab', [1, 2, 3, 4, 5, 6, 7]],
  ])('"%s" is %j', (text, value) => {
    expect(told(text, asked.choices)).toEqual(value);
  });

  it('asks back for a dash, asks again for what was denied, flags what is not there', () => {
    expect(told('2-4', asked.choices)).toEqual({ doubtful: [2, 3, 4] });
    expect(told('all except 3', asked.choices)).toBe('unclear');
    expect(told('not 3', asked.choices)).toBe('unclear');
    expect(told('189', asked.choices)).toEqual({ outOfRange: [1, 8, 9] });
  });
});
