import { describe, expect, it } from 'vitest';
import { readMend } from '../../src/language/mend-words.ts';
import { content } from '../dialog/conversation.ts';

const words = new Map([
  ['nine', 9],
  ['eight', 8],
  ['nau', 9],
  ['नौ', 9],
  ['आठ', 8],
]);
const read = (text: string) => readMend(text, content.mendWords, (word) => words.get(word));

// All texts are invented.
describe('a correction says what is wrong and what is right', () => {
  it.each([
    'sorry 9 not 8',
    'Sorry, 9 not 8.',
    '9 not 8',
    'not 8, 9',
    'its 9 not 8',
    '9 instead of 8',
    'i meant 9 not 8',
    'sorry nine not eight',
    '8 no 9',
    'i wrote 8 by mistake it is 9',
    'mistake, it is 9, i typed 8',
    '8 is wrong it is 9',
    'galti se 8 likha 9 hai',
    'galti se 8 likh diya 9 hai',
    'sorry didi 9 hai 8 nahi',
    '8 nahi 9',
    '8 ki jagah 9',
    'maaf karna 8 nahi nau hai',
    'गलती से 8 लिखा 9 है',
    'सॉरी ९ है ८ नहीं',
    'आठ नहीं नौ है',
    'चुकून 8 लिहिले 9 आहे',
    '8 नाही 9',
    '8 च्या ऐवजी 9',
    'chukun 8 lihile 9 aahe',
  ])('%s', (text) => {
    expect(read(text)).toMatchObject({ old: 8, now: 9, isPlain: true });
  });

  it.each([
    ['i meant 9', true],
    ['matlab 9', true],
    ['mhanje 9', true],
    ['no 9', false],
    ['sorry 9', false],
    ['galti se galat, 9 hai', false],
    ['नहीं 9', false],
  ])('or only what is right: %s', (text, isPlain) => {
    expect(read(text)).toMatchObject({ old: null, now: 9, isPlain });
  });

  it('and for which field, where it is named', () => {
    expect(read('sorry wet 9 not 8')).toMatchObject({ fields: ['wet'], old: 8, now: 9 });
    expect(read('doodh 9 hai 8 nahi')).toMatchObject({ fields: ['feeds'], old: 8, now: 9 });
  });

  it.each([
    ['9 3 6 4'],
    ['9'],
    ['no'],
    ['sorry'],
    ['not 8'],
    ['sorry 9 8'],
    ['baby is not well 9'],
    ['sorry 9 not 8 and he does not drink'],
    ['no milk since 9'],
    ['fever 101 not 100'],
    ['9 na ki 8'],
    ['i gave 9'],
    ['9 and no'],
  ])('and is none where it says anything else, or nothing plain: %s', (text) => {
    const mend = read(text);
    expect(mend === undefined || (mend.now === 8 && !mend.isPlain)).toBe(true);
  });
});
