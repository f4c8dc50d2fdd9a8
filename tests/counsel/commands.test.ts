import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { counsellorNamed, counsellorText } from '../../src/counsel/counsellor-text.ts';
import { counsellorWords } from '../../src/counsel/counsellor-words.ts';
import { meantByNote, meantByText, nearCode } from '../../src/counsel/meant-text.ts';
import { readEnrolText } from '../../src/counsel/enrol-text.ts';
import { outcomes } from '../../src/dialog/line.ts';
import { loadContent } from '../../src/programme/load-content.ts';

const content = loadContent();
const words = counsellorWords(content.wording, content.languages);
const read = (text: string) => counsellorText(text, words);
const command = (c: object) => ({ kind: 'command', command: { code: '4821', ...c } });

describe("a counsellor's text", () => {
  it.each(['4821', ' 4821 ', '#4821', '४८२१', '4821 ok', '4821: haan', '4821 OK.'])(
    '"%s" takes the alert',
    (text) => {
      expect(read(text)).toEqual(command({ kind: 'acknowledge' }));
    },
  );

  it.each(['4821 ?', '4821?', '4821 ??', '4821 answers', '4821 Jawab'])(
    '"%s" asks for her answers',
    (text) => {
      expect(read(text)).toEqual(command({ kind: 'answers' }));
    },
  );

  it.each(outcomes.map((outcome, i) => [i + 1, outcome] as const))(
    '"4821 %d went well" closes it: %s',
    (n, outcome) => {
      expect(read(`4821 ${n} went well`)).toEqual(command({ kind: 'resolve', outcome, note: 'went well' }));
      expect(read(`4821 ${n}`)).toEqual(command({ kind: 'resolve', outcome, note: '' }));
    },
  );

  it.each([
    '4821 8',
    '4821 0',
    '4821 12',
    '4821 1st visit done',
    '4821 she says hello',
    '4821 only one visit',
  ])('"%s" is a note and closes nothing', (text) => {
    expect(read(text)).toEqual(command({ kind: 'note', note: text.slice(5) }));
  });

  it('writes to the mother with her words as they are', () => {
    expect(read('4821 say Come to the clinic, 1 pm.')).toEqual(
      command({ kind: 'say', words: 'Come to the clinic, 1 pm.' }),
    );
    expect(read('4821 SAY: कृपया आइए')).toEqual(command({ kind: 'say', words: 'कृपया आइए' }));
    // Nothing to say is nothing to send.
    expect(read('4821 say')).toEqual(command({ kind: 'note', note: 'say' }));
  });

  it('hands on to a name, and takes a sentence that begins so as a note', () => {
    expect(read('4821 give mary')).toEqual({ kind: 'give', code: '4821', to: 'mary' });
    expect(read('4821 give her the address of the clinic')).toMatchObject({ command: { kind: 'note' } });
  });

  it('opens again, lists, compares, enrols, goes off and on', () => {
    expect(read('4821 open')).toEqual(command({ kind: 'reopen' }));
    expect(read('List.')).toEqual({ kind: 'list' });
    expect(read('why 4821 3405')).toEqual({ kind: 'why', one: '4821', other: '3405' });
    expect(read('why 4821, 3405?')).toEqual({ kind: 'why', one: '4821', other: '3405' });
    expect(read('ENROL +447700900123 5 Nov 2.9 en')).toEqual({
      kind: 'enrol',
      rest: '+447700900123 5 Nov 2.9 en',
    });
    expect(read('off')).toEqual({ kind: 'off' });
    expect(read('OFF DUTY')).toEqual({ kind: 'off' });
    expect(read('On.')).toEqual({ kind: 'on' });
  });

  it.each([
    '',
    '?',
    'hello',
    '482',
    '48215',
    'offer',
    'once',
    'lists of',
    'why 4821',
    'off tomorrow',
    '1 4821',
  ])('"%s" is not understood', (text) => {
    expect(read(text)).toEqual({ kind: 'unknown' });
  });

  it('understands the words of every language, each for one thing only', () => {
    const seen = new Map<string, string>();
    for (const [name, list] of Object.entries(words)) {
      for (const word of list) {
        expect(seen.get(word) ?? name, word).toBe(name);
        seen.set(word, name);
      }
    }
    expect(content.languages.length).toBeGreaterThan(1);
    for (const word of words.list) expect(read(word)).toEqual({ kind: 'list' });
    for (const word of words.off) expect(read(word)).toEqual({ kind: 'off' });
    for (const word of words.on) expect(read(word)).toEqual({ kind: 'on' });
    for (const word of words.take) expect(read(`4821 ${word}`)).toEqual(command({ kind: 'acknowledge' }));
    for (const word of words.answers) expect(read(`4821 ${word}`)).toEqual(command({ kind: 'answers' }));
    for (const word of words.open) expect(read(`4821 ${word}`)).toEqual(command({ kind: 'reopen' }));
    for (const word of words.give)
      expect(read(`4821 ${word} mary`)).toMatchObject({ kind: 'give', to: 'mary' });
    for (const word of words.say)
      expect(read(`4821 ${word} x`)).toEqual(command({ kind: 'say', words: 'x' }));
  });

  it('never throws, never invents a code, and reads the longest text within 50 ms', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 400 }), (text) => {
        const result = read(text);
        if (result.kind === 'command' && /^[\x20-\x7e]*$/.test(text))
          expect(text).toContain(result.command.code);
      }),
    );
    for (const text of [
      '4821 ' + 'say '.repeat(400),
      'a'.repeat(1600),
      '4'.repeat(1600),
      '4821' + ' .'.repeat(800),
    ]) {
      const before = performance.now();
      read(text);
      expect(performance.now() - before).toBeLessThan(50);
    }
  });
});

describe('a slip of her thumb', () => {
  it.each([
    ['lits', { kind: 'word', word: 'list' }],
    ['LST', { kind: 'word', word: 'list' }],
    ['whyy 4821 3405', { kind: 'word', word: 'why' }],
    ['enrol', undefined],
    ['enrlo +447700900123', { kind: 'word', word: 'enrol' }],
    ['anwsers', { kind: 'code-first', word: 'answers' }],
    ['say come', { kind: 'code-first', word: 'say' }],
    ['सूचि', { kind: 'word', word: 'list' }],
    ['482', { kind: 'four-digits' }],
    ['48215 note', { kind: 'four-digits' }],
    ['१२३', { kind: 'four-digits' }],
    ['hello', undefined],
    ['', undefined],
    ['?', undefined],
    ['thanks', undefined],
    ['a'.repeat(1600), undefined],
  ] as const)('of "%s" is told back as %j, and nothing is done', (text, meant) => {
    expect(meantByText(text, words)).toEqual(meant);
  });

  it.each([
    ['gvie mary', 'give'],
    ['opne', 'open'],
    ['answrs', 'answers'],
    ['went home well', undefined],
    ['open to the idea of the clinic', undefined],
    ['she is better', undefined],
    ['ok now', undefined],
  ])('behind a code, "%s" is kept as a note and %s is asked about', (note, word) => {
    expect(meantByNote(note, words)).toBe(word);
  });
});

describe('a mistyped code', () => {
  it.each([
    ['4812', ['4821', '3405'], '4821'],
    ['4823', ['4821', '3405'], '4821'],
    ['4822', ['4821', '4823'], undefined],
    ['9999', ['4821'], undefined],
    ['8214', ['4821'], undefined],
    ['4821', [], undefined],
  ] as const)('"%s" among %j is perhaps %s', (typed, codes, meant) => {
    expect(nearCode(typed, codes)).toBe(meant);
  });
});

describe('a name', () => {
  const people = [
    { id: 'mary', name: 'Mary' },
    { id: 'maria', name: 'Maria' },
    { id: 'sunita', name: 'सुनीता' },
  ];
  it.each([
    ['mary', 'mary'],
    ['MARY.', 'mary'],
    ['sun', undefined],
    ['सुनीता', 'sunita'],
    ['sunita', 'sunita'],
    ['mari', 'maria'],
    ['mar', undefined],
    ['', undefined],
    ['john', undefined],
  ])('"%s" means %s: never one of two', (name, id) => {
    expect(counsellorNamed(people, name)?.id).toBe(id);
  });
});

describe('what a counsellor keys in for a mother', () => {
  const enrol = (rest: string) => readEnrolText(rest, '+447700900011', '2026-11-25', content);
  const meera = {
    kind: 'enrol',
    phone: '+447700900123',
    bornOn: '2026-11-05',
    birthWeightGrams: 2900,
    language: 'en',
  };

  it.each([
    '+447700900123 5 Nov 2.9 en',
    '+44 7700 900123 5 Nov 2.9 en',
    '07700 900123, 5 Nov, 2.9, English',
    '+447700900123 5-11-2026 2900 en',
    '+447700900123 5 11 2026 2900 g en',
    '+447700900123 5 Nov 2.9 kg EN',
  ])('"%s" is read whole', (text) => {
    expect(enrol(text)).toEqual(meera);
  });

  it.each([
    ['', 'nothing'],
    ['5 Nov 2.9 en', 'phone'],
    ['12345 5 Nov 2.9 en', 'phone'],
    ['+447700900123 5 Nov 2.9', 'language'],
    ['+447700900123 5 Nov 2.9 xx', 'language'],
    ['+447700900123 31 Feb 2.9 en', 'born'],
    ['+447700900123 5 2.9 en', 'born'],
    ['+447700900123 5 Dec 2029 2.9 en', 'born'],
    ['+447700900123 5 Nov 2020 2.9 en', 'born'],
    ['+447700900123 5 Nov 29 en', 'weight'],
    ['+447700900123 5 Nov en', 'weight'],
    ['+447700900123 en', 'weight'],
  ])('of "%s" the %s is not clear, and nothing is guessed', (text, what) => {
    expect(enrol(text)).toEqual({ kind: 'unclear', what });
  });
});
