import { describe, expect, it } from 'vitest';
import { ContentError } from '../../src/errors.ts';
import { compileDanger, readDanger } from '../../src/language/danger/index.ts';

const file = (data: unknown) => [{ language: 'xx', file: 'locales/xx/danger.yaml', data }];
const problems = (data: unknown): readonly string[] => {
  try {
    compileDanger(file(data));
  } catch (error) {
    if (error instanceof ContentError) return error.problems;
    throw error;
  }
  return [];
};

describe('a danger file', () => {
  it('works for an invented tiny language without code', () => {
    const phrases = compileDanger(
      file({
        words: { baby: ['plim'], nahi: ['zot'], fever: ['gorfal'], drink: ['nurp'] },
        signs: [
          { baby: 'fever', phrases: ['[fever]'] },
          { baby: 'not-feeding', phrases: ['[nahi] > [drink]'] },
        ],
      }),
    );
    expect(readDanger('plim gorfal', phrases).signs.map((sign) => sign.code)).toEqual(['fever']);
    expect(readDanger('plim gorfal zot', phrases).signs).toEqual([]);
    expect(readDanger('plim zot nurp', phrases).signs.map((sign) => sign.code)).toEqual(['not-feeding']);
  });

  it('names the file and the place of an unknown sign code', () => {
    expect(problems({ signs: [{ baby: 'feverr', phrases: ['hot'] }] })[0]).toContain(
      'locales/xx/danger.yaml, signs.0.baby',
    );
  });

  it('names a slot that has no words', () => {
    expect(problems({ signs: [{ baby: 'fever', phrases: ['[heat] high'] }] })[0]).toContain('[heat]');
  });

  it('refuses a phrase that it cannot read', () => {
    expect(problems({ signs: [{ baby: 'fever', phrases: ['[Heat'] }] })).toHaveLength(1);
    expect(problems({ signs: 'none' })).toHaveLength(1);
  });
});
