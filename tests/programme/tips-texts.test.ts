import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { tips, languages } from '../care/tips.ts';
import { ContentError } from '../../src/errors.ts';
import { segmentsOf } from '../../src/language/sms-segments.ts';
import { checkContent } from '../../src/programme/check/check-content.ts';
import { loadContent } from '../../src/programme/load-content.ts';
import { loadTips } from '../../src/programme/load-tips.ts';
import { type ContentCopy, copyContent } from './content-copy.ts';

const { wording } = loadContent();
/** The longest number that the check of lengths counts with. */
const emergency = '1800112233';
const textOf = (id: string, language: string) => wording.say(`tips.${id}`, { emergency }, language, 'text');

describe('the words of the tips', () => {
  it('are there in every language, at least ninety, each different', () => {
    expect(tips.length).toBeGreaterThanOrEqual(90);
    for (const language of languages) {
      const texts = tips.map(({ id }) => textOf(id, language));
      expect(new Set(texts).size).toBe(tips.length);
    }
  });

  it('cost one segment in Latin letters, three at most in Devanagari', () => {
    for (const { id } of tips) {
      for (const language of languages) {
        const { encoding, segments } = segmentsOf(textOf(id, language));
        expect([id, language, segments <= (encoding === 'GSM-7' ? 1 : 3)]).toEqual([id, language, true]);
      }
    }
  });

  it('are heard in Devanagari by who reads Hindi in Latin letters', () => {
    for (const { id } of tips) {
      expect(wording.say(`tips.${id}`, { emergency }, 'hi-Latn', 'voice')).toBe(
        wording.say(`tips.${id}`, { emergency }, 'hi', 'voice'),
      );
      expect(wording.say(`tips.${id}`, { emergency }, 'hi-Latn', 'voice')).toMatch(/^[^A-Za-z]*$/u);
    }
  });

  it('never prescribe: no medicine by name, no dose', () => {
    const medicine =
      /paracetamol|ibuprofen|crocin|antibiotic|domperidone|metoclopramide|zinc|codeine|\b\d+ ?(mg|mcg|drops|tablets)\b/i;
    for (const { id } of tips) expect([id, medicine.exec(textOf(id, 'en'))]).toEqual([id, null]);
  });

  it('send to care at once wherever they name a danger', () => {
    const dangers = [
      'newborn-danger',
      'mother-danger',
      'yellow-skin',
      'wake-to-feed',
      'milk-that-comes-up',
      'loose-stools',
    ];
    const alsoDangers = ['ill-baby-eats-often', 'ill-in-the-second-year'];
    for (const id of [...dangers, ...alsoDangers]) {
      expect(textOf(id, 'en')).toMatch(/go to the hospital|hospital now/i);
      expect(textOf(id, 'hi')).toContain('अस्पताल');
      expect(textOf(id, 'hi-Latn')).toContain('aspatal');
      expect(textOf(id, 'mr')).toMatch(/दवाखान/u);
    }
  });

  it('name the emergency number of the programme wherever they send to hospital at once, in every language', () => {
    const urgent = tips.filter(({ id }) =>
      /(go to the|the|:) hospital|hospital (now|at once)/i.test(textOf(id, 'en')),
    );
    const sends = urgent.filter(({ id }) => /now|at once|green or with blood/i.test(textOf(id, 'en')));
    expect(sends.length).toBeGreaterThanOrEqual(8);
    for (const { id } of sends)
      for (const language of languages) {
        expect([id, language, textOf(id, language)]).toEqual([
          id,
          language,
          expect.stringContaining(emergency),
        ]);
        expect(wording.say(`tips.${id}`, { emergency }, language, 'voice')).toContain(emergency);
      }
  });

  it('each name a source, and say so where there is none', () => {
    for (const { id, source } of tips)
      expect([
        id,
        /\b(19|20)\d\d\b|protocol|course|\(from memory\)|common practice, no source/i.test(source),
      ]).toEqual([id, true]);
  });
});

describe('the check of the calendar', () => {
  let copy: ContentCopy;
  beforeEach(() => {
    copy = copyContent();
  });
  afterEach(() => copy.remove());
  const refused = (): string => {
    try {
      loadTips(copy.root, languages);
    } catch (error) {
      if (error instanceof ContentError) return error.problems.join('\n');
      throw error;
    }
    return '';
  };

  it.each([
    [
      'a concern that does not exist, with the nearest one',
      'reason.wet-few]',
      'reason.wet-fewd]',
      /flows\/tips\.yaml, line \d+: tips\.count-wet-nappies\.first-after: no concern named "reason\.wet-fewd"\. Did you mean "reason\.wet-few"\?/,
    ],
    [
      'a condition that does not exist',
      'twins: true',
      'twinns: true',
      /flows\/tips\.yaml, line \d+: tips\.[a-z-]+\.when: Unrecognized key: "twinns"/,
    ],
    [
      'a window that is empty',
      'days: [37, 58]',
      'days: [58, 37]',
      /tips\.six-week-vaccines\.days: the window is empty: 58 is not before 37/,
    ],
    ['a window after two years', 'days: [37, 58]', 'days: [37, 731]', /tips\.six-week-vaccines\.days/],
    [
      'a source that is missing',
      'source: "common practice, no source"',
      'sorce: "common practice, no source"',
      /tips\.[a-z-]+\.source/,
    ],
    ['a topic that does not exist', 'topic: play', 'topic: fun', /tips\.[a-z-]+\.topic/],
    ['a month that does not exist', 'months: [', 'months: [13, ', /tips\.[a-z-]+\.when\.months/],
    ['a priority out of range', '    priority: 1', '    priority: 0', /tips\.[a-z-]+\.priority/],
    ['a diet that does not exist', 'eats: [veg]', 'eats: [vegan]', /tips\.[a-z-]+\.when\.eats/],
  ])('refuses %s', (_what, from, to, expected) => {
    copy.edit('flows/tips.yaml', from, to);
    expect(refused()).toMatch(expected);
  });

  it('refuses a language that the line does not have', () => {
    copy.edit('flows/tips.yaml', 'twins: true', 'languages: [hy]');
    expect(refused()).toMatch(/when\.languages: no language named "hy"\. Did you mean "(hi|mr|en)"\?/);
  });

  const problems = () =>
    checkContent(copy.root)
      .filter(({ weight }) => weight === 'problem')
      .map(({ text }) => text)
      .join('\n');

  it('finds a tip without words, and words without a tip', () => {
    for (const language of languages) {
      const file = `locales/${language}/tips.yaml`;
      copy.edit(file, '  skin-to-skin:', '  skin-on-skin:');
    }
    expect(() => problems()).toThrow(
      /no text named "tips\.skin-to-skin", which a flow, a rule or a tip needs/,
    );
    for (const language of languages) {
      const file = `locales/${language}/tips.yaml`;
      copy.edit(file, '  skin-on-skin:', '  gone: "1"\n  skin-to-skin:');
    }
    expect(problems()).toMatch(
      /locales\/mr\/tips\.yaml: "tips\.gone" is the text of no tip in flows\/tips\.yaml/,
    );
  });

  it('finds a tip that fits nobody, and one of the first priority that somebody misses', () => {
    copy.edit('flows/tips.yaml', 'days: [37, 58]', 'days: [37, 39]');
    copy.edit(
      'flows/tips.yaml',
      'concerns: [sign.mother.breast-red-fever]',
      'concerns: [reason.low-mood]\n      unless: [reason.low-mood]',
    );
    const found = problems();
    expect(found).toMatch(/"hot-red-breast" fits nobody: its conditions cannot all hold/);
    expect(found).toMatch(
      /"six-week-vaccines" has priority 1 and is missed by a mother who joined at \d+ days/,
    );
  });
});
