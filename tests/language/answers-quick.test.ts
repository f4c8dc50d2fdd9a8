import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { textTokens } from '../../src/language/danger/text-tokens.ts';
import { normalise } from '../../src/language/answers/normalise.ts';
import { scan, type Wanted } from '../../src/language/answers/scan.ts';
import { localeFiles, contentRoot } from '../../src/programme/load-content.ts';
import { words } from './answer-reading.ts';

/** Taken out of a text like any invisible joiner, so that the text is read the long way to the same end. */
const joiner = '\u200b';

describe('the short ways of reading', () => {
  it('spell a text of ASCII as the long way does', () => {
    const pieces = fc.constantFrom(
      '-',
      '~',
      "'",
      '`',
      'a',
      'aaa',
      'B',
      'zzzz',
      '7',
      ' ',
      '.',
      '\n',
      '--',
      '9 ~ 3',
      "o'clock",
      "mother's",
      "'s",
      "a'b'c",
      'x`s ',
    );
    const text = fc.oneof(
      fc.array(pieces, { maxLength: 12 }).map((p) => p.join('')),
      fc.string({ unit: 'binary-ascii' }),
    );
    fc.assert(
      fc.property(text, (ascii) => {
        expect(normalise(ascii)).toBe(normalise(`${ascii}${joiner}`));
        expect(textTokens(ascii)).toEqual(textTokens(`${ascii}${joiner}`));
      }),
      { numRuns: 2000 },
    );
  });

  it('find in figures alone what the long way finds', () => {
    const figures = fc
      .array(
        fc.oneof(fc.constantFrom('0', '00', '1', '9', '24', '100', '007', '3200'), fc.nat().map(String)),
        {
          minLength: 1,
          maxLength: 25,
        },
      )
      .map((list) => list.join(' '));
    const kinds = ['unit', 'mark', 'day', 'part', 'month', 'weekday', 'ordinal', 'reply', 'none'] as const;
    const units = new Set(
      localeFiles(contentRoot, 'words.yaml').flatMap(({ data }) =>
        Object.keys((data as { units: object }).units),
      ),
    );
    const marks = new Set(
      localeFiles(contentRoot, 'words.yaml').flatMap(({ data }) =>
        Object.keys((data as { marks: object }).marks),
      ),
    );
    const all: Wanted = { numbers: { decimals: true, decimalComma: true }, kinds, units, marks } as Wanted;
    fc.assert(
      fc.property(
        figures,
        fc.constantFrom<Wanted>({}, { numbers: { decimals: true } }, all),
        (text, wanted) => {
          expect(scan(text, words, wanted)).toEqual(scan(`${text} `, words, wanted));
        },
      ),
      { numRuns: 2000 },
    );
  });
});
