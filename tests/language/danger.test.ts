import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { compileDanger, readDanger } from '../../src/language/danger/index.ts';

const files = readdirSync('locales').flatMap((language) => {
  const file = `locales/${language}/danger.yaml`;
  try {
    return [{ language, file, data: parse(readFileSync(file, 'utf8')) as unknown }];
  } catch {
    return [];
  }
});
const phrases = compileDanger(files);
const codes = (text: string): string[] =>
  readDanger(text, phrases).signs.map((sign) => `${sign.who} ${sign.code}${sign.sure ? '' : '?'}`);

describe('signs of danger in English', () => {
  it.each([
    ['baby not feeding since morning', 'baby not-feeding'],
    ['my baby had fits', 'baby convulsion'],
    ['I am bleeding heavily', 'mother bleeding'],
    ['I dont want to live', 'mother self-harm'],
    ['want to throw the baby', 'mother harm-baby'],
    ["baby won't wake up", 'baby lethargy'],
  ])('reads "%s" as %s', (text, expected) => {
    expect(codes(text)).toContain(expected);
  });

  it.each(['no fever', 'fit and fine', '9 6 4 0', 'the weather is very hot today', 'wet nappies 6'])(
    'finds nothing in "%s"',
    (text) => {
      expect(codes(text)).toEqual([]);
    },
  );
});
