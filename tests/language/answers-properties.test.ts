import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileAnswerWords, readAnswer, readFields, readKeys } from '../../src/language/answers/index.ts';
import type { Asked } from '../../src/language/asked.ts';
import { contentRoot, localeFiles } from '../../src/programme/load-content.ts';
import { asked, read, today, words } from './answer-reading.ts';

const questions: readonly Asked[] = [
  ...Object.values(asked),
  {
    kind: 'choice',
    options: 2,
    words: [
      ['girl', 'beti'],
      ['boy', 'beta'],
    ],
  },
];
const fields = [asked.count, asked.weight, asked.yesNo].map((a, i) => ({
  field: `f${i}`,
  asked: a,
  labels: [`label${i}`],
}));

/** Words of all lists, numbers, marks: what most likely leads a reader astray. */
const pieces = localeFiles(contentRoot, 'words.yaml')
  .flatMap(({ data }) => JSON.stringify(data).match(/[\p{L}\p{M}]+/gu) ?? [])
  .concat(['3', '12', '2026', '-', '/', '.', ',', ':', '½', '८', '?', '\n', 'kg', '😀', '1/2']);
const likelyText = fc.array(fc.constantFrom(...pieces), { maxLength: 30 }).map((list) => list.join(' '));
const anyText = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 1600 }),
  fc.string({ maxLength: 200 }),
  likelyText,
);

describe('reading an answer', () => {
  it('never throws, whatever the text', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        for (const question of questions) read(text, question);
        readFields(text, fields, words, { today });
        for (const question of questions) readKeys(text, question, { today });
      }),
      { numRuns: 300 },
    );
  });

  it('never gives a value that the question cannot have without saying so', () => {
    fc.assert(
      fc.property(likelyText, (text) => {
        for (const question of questions) {
          const reading = read(text, question);
          if (reading.kind !== 'read' || !reading.inRange) continue;
          const { answer } = reading;
          if (question.kind === 'choice' && answer.kind === 'choice') {
            expect(
              Number.isInteger(answer.value) && answer.value >= 1 && answer.value <= question.options,
            ).toBe(true);
          }
          if (question.kind === 'choices' && answer.kind === 'choices') {
            expect([...new Set(answer.value)].sort((a, b) => a - b)).toEqual(answer.value);
            expect(answer.value.every((v) => v >= 1 && v <= question.options)).toBe(true);
          }
          if (question.kind === 'weight' && answer.kind === 'weight') {
            expect(Number.isInteger(answer.grams)).toBe(true);
            expect(answer.grams >= question.minGrams && answer.grams <= question.maxGrams).toBe(true);
          }
          if (question.kind === 'date' && answer.kind === 'date') {
            expect(answer.date).toMatch(/^\d{4}-\d{2}-\d{2}$/u);
            expect(new Date(answer.date).toISOString().slice(0, 10)).toBe(answer.date);
            if (question.past) expect(answer.date <= today).toBe(true);
          }
          if (answer.kind === 'temperature') expect(answer.celsius >= 30 && answer.celsius <= 45).toBe(true);
          if (answer.kind === 'time-of-day')
            expect(answer.minuteOfDay >= 0 && answer.minuteOfDay < 1440).toBe(true);
        }
      }),
      { numRuns: 500 },
    );
  });

  it('does not mind capitals, spaces around, a full stop, or which of the ways a letter is composed in', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(
          'teen kilo do sau gram',
          'साढ़े तीन किलो',
          '3 kg 200',
          'haan ji',
          '८ बार',
          'kal',
          '5 march',
        ),
        (text) => {
          for (const question of questions) {
            if (question.kind === 'words') continue;
            const plain = read(text, question);
            for (const other of [text.toUpperCase(), `  ${text}  `, `${text}.`, text.normalize('NFD')]) {
              expect(read(other, question)).toEqual(plain);
            }
          }
        },
      ),
    );
  });

  it('takes under 5 ms on a text of 1,600 characters, all kinds measured apart', () => {
    const long = (piece: string): string => piece.repeat(1600).slice(0, 1600);
    const texts = [
      'a',
      '9',
      '9 ',
      'ek do ',
      'nahi ',
      '1/2 ',
      'sadhe ',
      'kal ',
      'तीन ',
      'x y z ',
      '3 kg ',
      '-',
      '\n',
      'aaaab',
      '12:',
      'पूर्वी',
    ].map(long);
    for (const question of questions) {
      // The best of several rounds: what else the machine does is not the reader's time.
      const rounds = Array.from({ length: 6 }, () => {
        const start = performance.now();
        for (const text of texts) readAnswer(text, question, words, { today });
        return (performance.now() - start) / texts.length;
      });
      expect(Math.min(...rounds), question.kind).toBeLessThan(5);
    }
  });
});

describe('the words of a language', () => {
  it('an invented fifth language is read beside the others', () => {
    const invented = {
      language: 'xx',
      file: 'locales/xx/words.yaml',
      data: {
        numbers: { 1: ['blip'], 7: ['zorp'] },
        units: { kilogram: ['mok'] },
        replies: { yes: ['fuu'], no: ['gaa'] },
        months: { 4: ['quell'] },
      },
    };
    const more = compileAnswerWords([...localeFiles(contentRoot, 'words.yaml'), invented]);
    const told = (text: string, question: Asked) => readAnswer(text, question, more, { today });
    expect(told('zorp', asked.count)).toMatchObject({ answer: { value: 7 } });
    expect(told('blip mok 200 gram', asked.weight)).toMatchObject({ answer: { grams: 1200 } });
    expect(told('fuu', asked.yesNo)).toMatchObject({ answer: { value: true } });
    expect(told('zorp quell', asked.pastDate)).toMatchObject({ answer: { date: '2025-04-07' } });
    expect(told('aath', asked.count)).toMatchObject({ answer: { value: 8 } });
  });

  it('says every fault with its file and place', () => {
    const wrong = [
      { language: 'xx', file: 'locales/xx/words.yaml', data: { numbers: { many: ['zorp'] } } },
      { language: 'yy', file: 'locales/yy/words.yaml', data: { replies: { yes: [true] }, colours: [] } },
    ];
    expect(() => compileAnswerWords(wrong)).toThrow(
      /locales\/xx\/words\.yaml, numbers[\s\S]*locales\/yy\/words\.yaml, replies\.yes\.0[\s\S]*colours/u,
    );
  });
});
