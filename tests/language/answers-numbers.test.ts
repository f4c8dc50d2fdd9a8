import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { asked, told } from './answer-reading.ts';

/**
 * Unicode CLDR 48 spell-out rules (rule-based number format), through the package cldr-rbnf. Only what whole numbers below
 * 1,000 need: a literal, `←←` (how many of the base), `→→` (what is left) and an optional part in brackets.
 */
function cldrSpellout(file: string): (value: number) => string {
  const require = createRequire(import.meta.url);
  const folder = dirname(require.resolve('cldr-rbnf/package.json'));
  const text = readFileSync(join(folder, 'rbnf', `${file}-SpelloutRules.txt`), 'utf8');
  const [, block = ''] = text.split('%spellout-cardinal:');
  const rules = (block.split('\n%')[0] ?? '').split('\n').flatMap((line) => {
    const match = /^(\d+): (.*);$/u.exec(line.trim());
    return match === null ? [] : [{ base: Number(match[1]), text: match[2] ?? '' }];
  });
  const spell = (value: number): string => {
    const rule = rules.findLast(({ base }) => base <= value);
    if (rule === undefined) throw new Error(`CLDR has no rule for ${value}`);
    const power = rule.base === 0 ? 1 : 10 ** Math.floor(Math.log10(rule.base));
    const left = value % power;
    return rule.text
      .replace(/\[(.*?)\]/gu, left === 0 ? '' : '$1')
      .replace(/<<|←←/gu, () => spell(Math.floor(value / power)))
      .replace(/>>|→→/gu, () => spell(left));
  };
  return spell;
}

const hundredAndOne = Array.from({ length: 101 }, (_, i) => i);

describe('number words', () => {
  it.each(['en', 'hi'])('every number to 100 as CLDR spells it in %s is read back', (language) => {
    const spell = cldrSpellout(language);
    // Guards the small rule reader above: values that anyone can check by eye.
    expect(spell(language === 'en' ? 42 : 19)).toBe(language === 'en' ? 'forty-two' : 'उन्नीस');
    const everything = { kind: 'count', min: 0, max: 1000 } as const;
    expect(hundredAndOne.map((n) => told(spell(n), everything))).toEqual(hundredAndOne);
    const hundreds = [101, 110, 125, 199, 250, 340, 999];
    expect(hundreds.map((n) => told(spell(n), everything))).toEqual(hundreds);
  });

  // CLDR 48 has no spelled-out numbers for Marathi. These are the ones of the Maharashtra school tables, from memory; the whole
  // list to 99 was compared once with the package to-words 5 (mr-IN), which is not a dependency.
  it.each([
    ['एकोणीस', 19],
    ['पंचवीस', 25],
    ['अठ्ठावीस', 28],
    ['एकोणतीस', 29],
    ['पस्तीस', 35],
    ['एकोणचाळीस', 39],
    ['चव्वेचाळीस', 44],
    ['पन्नास', 50],
    ['त्रेपन्न', 53],
    ['एकोणसाठ', 59],
    ['सदुसष्ठ', 67],
    ['त्र्याहत्तर', 73],
    ['ऐंशी', 80],
    ['एकोणनव्वद', 89],
    ['नव्याण्णव', 99],
    ['शंभर', 100],
  ])('the Marathi %s is %i', (word, value) => {
    expect(told(word, { kind: 'count', min: 0, max: 1000 })).toBe(value);
  });

  it.each([
    ['gyarah', 11],
    ['gyara', 11],
    ['pandra', 15],
    ['satrah', 17],
    ['sattar', 70],
    ['unnees', 19],
    ['untees', 29],
    ['chhabees', 26],
    ['pachees', 25],
    ['panchvis', 25],
    ['savvis', 26],
    ['daha', 10],
    ['akra', 11],
    ['nau', 9],
  ])('"%s", as typed on a keypad, is %i', (word, value) => {
    expect(told(word, { kind: 'count', min: 0, max: 1000 })).toBe(value);
  });

  it('an English word that looks like a number word in another language is none', () => {
    // 'at' is near 'aath' (8), 'weight' near 'eight', 'no' near 'nau' (9).
    expect(told('5 march at 4 am', asked.pastDate)).toBe('2026-03-05');
    expect(told('weight', asked.count)).toBe('unclear');
    expect(told('she feeds at night', asked.count)).toBe('unclear');
  });
});
