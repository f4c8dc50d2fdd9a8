import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readDanger } from '../../src/language/danger/index.ts';
import { phrases, signsAskedOrTold } from './danger-phrases.ts';

const graveTexts = [
  ['baby not drinking milk since morning', 'baby not-feeding'],
  ['bacche ko jhatke aa rahe hai', 'baby convulsion'],
  ['I am bleeding heavily', 'mother bleeding'],
  ['बच्चा दूध नहीं पी रहा', 'baby not-feeding'],
  ['mala jagaycha nahi', 'mother self-harm'],
  ['बाळ श्वास घेताना छाती आत जाते', 'baby chest-indrawing'],
  ['my wife had a fit', 'mother maternal-convulsion'],
  ['bachcha uth nahi raha', 'baby lethargy'],
] as const;
const harmlessTexts = [
  'Good morning sister',
  'We ate rice and dal',
  'Thank you',
  'aaj mausam achha hai',
  'vajan 3 kilo hai',
  'आज पाऊस आहे',
  'Feeds 9 wet 6 stools 3',
  'teeka kab lagega',
  'My husband went to the market',
  'नमस्ते दीदी',
  'dhanyavad tai',
];
const words = [
  ...graveTexts.map(([text]) => text),
  ...harmlessTexts,
  'no not never nahi नाही but aur fever bukhar ताप 101 39.2 8 hours',
].flatMap((text) => text.split(' '));
const slow = { numRuns: 300 };

describe('reading danger', () => {
  it('never throws on any text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 1600 }), (text) => {
        expect(readDanger(text, phrases).signs).toBeInstanceOf(Array);
      }),
      slow,
    );
  });

  it('never throws on any mixture of its own words', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...words), { maxLength: 200 }), (list) => {
        expect(readDanger(list.join(' '), phrases).signs).toBeInstanceOf(Array);
      }),
      slow,
    );
  });

  it.each([
    ['one letter', 'a'.repeat(1600)],
    ['short words', 'no '.repeat(533)],
    ['danger words', 'baby not fever '.repeat(107).slice(0, 1600)],
    ['danger words of three languages', 'baby bukhar nahi ताप दूध pit '.repeat(60).slice(0, 1600)],
    ['mistyped long words', 'convulsoin unconscoius brethaing '.repeat(50).slice(0, 1600)],
    [
      'different unknown words',
      Array.from({ length: 260 }, (_, at) => `q${(at * 7919).toString(36)}x`)
        .join(' ')
        .slice(0, 1600),
    ],
    [
      'different long unknown words',
      Array.from({ length: 130 }, (_, at) => `z${(at * 7919 + 1e9).toString(36)}abcd`)
        .join(' ')
        .slice(0, 1600),
    ],
    ['numbers', '101 39.2 '.repeat(178).slice(0, 1600)],
  ])('takes under 5 ms for 1,600 characters: %s', (_, text) => {
    for (let warm = 0; warm < 20; warm++) readDanger(text, phrases);
    const times = Array.from({ length: 15 }, () => {
      const start = performance.now();
      readDanger(text, phrases);
      return performance.now() - start;
    }).sort((a, b) => a - b);
    expect(times[3]).toBeLessThan(5);
  });

  it('keeps a grave sign when harmless sentences stand before and after it', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...graveTexts),
        fc.array(fc.constantFrom(...harmlessTexts), { maxLength: 3 }),
        fc.array(fc.constantFrom(...harmlessTexts), { maxLength: 3 }),
        ([text, sign], before, after) => {
          expect(signsAskedOrTold([...before, text, ...after].join('. '))).toContain(sign);
        },
      ),
      slow,
    );
  });

  it('finds a grave sign added to any text', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...words), { maxLength: 20 }),
        fc.constantFrom(...graveTexts),
        (list, [text, sign]) => {
          expect(signsAskedOrTold(`${list.join(' ')}. ${text}`)).toContain(sign);
        },
      ),
      slow,
    );
  });
});
