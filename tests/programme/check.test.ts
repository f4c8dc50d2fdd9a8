import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ContentError } from '../../src/errors.ts';
import { checkContent } from '../../src/programme/check/check-content.ts';
import { leavesOf } from '../../src/programme/check/leaves.ts';
import { contentRoot, messageFiles } from '../../src/programme/load-content.ts';
import { readingGrade } from '../../src/programme/check/readable.ts';
import { segmentsOf } from '../../src/programme/check/segments.ts';
import { type ContentCopy, copyContent } from './content-copy.ts';

describe('eightfeeds check', () => {
  let copy: ContentCopy;
  beforeEach(() => {
    copy = copyContent();
  });
  afterEach(() => copy.remove());

  const problems = (): readonly string[] => {
    try {
      return checkContent(copy.root)
        .filter((f) => f.weight === 'problem')
        .map((f) => f.text);
    } catch (error) {
      if (error instanceof ContentError) return error.problems;
      throw error;
    }
  };

  it('finds nothing wrong with what is shipped', () => {
    expect(problems()).toEqual([]);
  });

  it.each([
    [
      'a guard that does not exist, with the nearest one',
      'flows/check-in.yaml',
      'weighingDue',
      'weighingDoo',
      /flows\/check-in\.yaml, line 21, flow "check-in", step "body": no guard named "weighingDoo". Did you mean "weighingDue"\?/,
    ],
    [
      'an act that does not exist',
      'flows/enrolment.yaml',
      '[enrol]',
      '[enroll]',
      /step "enrol": no act named "enroll". Did you mean "enrol"\?/,
    ],
    [
      'a way to a step that does not exist',
      'flows/check-in.yaml',
      'next: support',
      'next: suport',
      /no step named "suport". Did you mean "support"\?/,
    ],
    [
      'a word that no flow knows, with its line',
      'flows/enrolment.yaml',
      'optional: true',
      'optionl: true',
      /flows\/enrolment\.yaml, line \d+: .*optionl/,
    ],
    [
      'a step that can strand her',
      'flows/asides.yaml',
      '        - { to: raise-unsure }\n',
      '',
      /last way on has a "when"/,
    ],
    [
      'a step that nothing leads to',
      'flows/check-in.yaml',
      'next: support',
      'next: feedback',
      /no way leads to step "support"/,
    ],
    [
      'a text that is missing',
      'locales/en/messages.yaml',
      '    wake-to-feed:',
      '    wake-to-fed:',
      /no text named "feedback\.advice\.wake-to-feed"/,
    ],
    [
      'a text over its segments',
      'locales/en/messages.yaml',
      'later: We hear',
      `later: ${'We hear no key at all. '.repeat(14)}We hear`,
      /call\.later is 3 segments of GSM-7/,
    ],
    [
      'a letter that makes a text dear',
      'locales/en/messages.yaml',
      'Thank you for telling us.',
      'Thank you – for telling us.',
      /"feedback\.thanks" holds "–"/,
    ],
    [
      'a symbol that a voice cannot say',
      'locales/en/messages.yaml',
      'voice: We will speak English.',
      'voice: We will speak 100% English.',
      /"language\.now" \(voice\) holds "%"/,
    ],
    [
      'a text that is hard to read',
      'locales/en/messages.yaml',
      'Thank you for telling us.',
      'We appreciate your comprehensive communication regarding infant lactation circumstances.',
      /"feedback\.thanks" reads at grade/,
    ],
  ])('names %s', (_what, file, from, to, expected) => {
    copy.edit(file, from, to);
    expect(problems().join('\n')).toMatch(expected);
  });
});

it('has every text that the code names', () => {
  const named = sourceFiles(join(contentRoot, 'src')).flatMap((file) =>
    [
      ...readFileSync(file, 'utf8').matchAll(
        /(?:say\((?:draft, )?|told\(|key: )'([a-z]+[a-z0-9.-]*\.[a-z0-9.-]+)'/gu,
      ),
    ].map((m) => m[1] ?? ''),
  );
  const english = messageFiles(contentRoot).filter((f) => f.language === 'en');
  const keys = new Set(english.flatMap((file) => [...leavesOf(file).keys()]));
  expect(named.length).toBeGreaterThan(40);
  expect(named.filter((k) => !keys.has(k) && !keys.has(`${k}_other`))).toEqual([]);
});

function sourceFiles(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((f) => f.endsWith('.ts') && !f.includes('desk'))
    .map((f) => join(folder, f));
}

describe('segments', () => {
  // Source: 3GPP TS 23.038 (GSM 7-bit alphabet, 160 septets alone and 153 a part; UCS-2 70 and 67).
  it.each([
    ['a'.repeat(160), 'GSM-7', 1],
    ['a'.repeat(161), 'GSM-7', 2],
    ['a'.repeat(306), 'GSM-7', 2],
    ['a'.repeat(307), 'GSM-7', 3],
    ['€'.repeat(80), 'GSM-7', 1],
    ['€'.repeat(81), 'GSM-7', 2],
    ['क'.repeat(70), 'UCS-2', 1],
    ['क'.repeat(71), 'UCS-2', 2],
    ['क'.repeat(135), 'UCS-2', 3],
  ] as const)('of a text of known length', (text, encoding, segments) => {
    expect(segmentsOf(text)).toEqual({ encoding, segments });
  });
});

describe('reading grade', () => {
  // Worked by hand from the formula (Kincaid and others, 1975): 6 words, 1 sentence, 6 syllables: 0.39*6 + 11.8*1 - 15.59.
  it('agrees with the formula worked by hand', () => {
    expect(readingGrade('The cat sat on the mat.')).toBeCloseTo(-1.45, 2);
  });
});
