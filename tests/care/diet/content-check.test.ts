import { describe, expect, it } from 'vitest';
import { checkFoodContent } from '../../../src/care/diet/content-check.ts';
import { isSevenBit, textLength } from '../../../src/care/diet/text-length.ts';
import { contentFiles } from './content.ts';

const changed = (path: string, from: string | RegExp, to: string) => {
  const files = contentFiles();
  expect(
    files.some((file) => file.path === path && file.text.search(from) >= 0),
    `${from} in ${path}`,
  ).toBe(true);
  return checkFoodContent(
    files.map((file) => (file.path === path ? { path, text: file.text.replace(from, to) } : file)),
  );
};
const lineOf = (path: string, what: string): number => {
  const text = contentFiles().find((file) => file.path === path)?.text ?? '';
  return text.slice(0, text.indexOf(what)).split('\n').length;
};

describe('the check of foods and dishes', () => {
  it('finds nothing wrong with our own', () => {
    expect(checkFoodContent(contentFiles())).toEqual([]);
  });

  it('names file and line of a dish with an unknown food', () => {
    const line = lineOf('flows/dishes.yaml', 'food: besan');
    expect(changed('flows/dishes.yaml', 'food: besan', 'food: bezan')).toEqual([
      expect.stringMatching(new RegExp(`^flows/dishes\\.yaml, line ${line}: .*no food named "bezan"`)),
    ]);
  });

  it('names an unknown stand-in', () => {
    expect(changed('flows/dishes.yaml', 'bathua: 60,', 'batua: 60,')[0]).toMatch(
      /^flows\/dishes\.yaml, line \d+: .*"batua"/,
    );
  });

  it('names file and line of a portion with no weight', () => {
    const line = lineOf('flows/foods.yaml', '  besan:\n');
    const problems = changed(
      'flows/foods.yaml',
      /( {2}besan:\n[\s\S]*?raw: \{ )bowl: 80, spoon: 8( \})/,
      '$1tsp: 3$2',
    );
    expect(problems[0]).toMatch(
      /^flows\/dishes\.yaml, line \d+: .*a portion with no weight: besan has no raw bowl/,
    );
    const empty = changed('flows/foods.yaml', /( {2}besan:\n[\s\S]*?raw: )\{ bowl: 80, spoon: 8 \}/, '$1{}');
    const [, at] =
      /^flows\/foods\.yaml, line (\d+): foods\.besan\.raw: a portion with no weight/.exec(empty[0] ?? '') ??
      [];
    expect(Number(at)).toBeGreaterThan(line);
    expect(Number(at)).toBeLessThan(line + 10);
  });

  it('names the place of a missing translation', () => {
    expect(changed('locales/mr/foods.yaml', / {2}ragi-flour: .*\n/, '')[0]).toMatch(
      /^locales\/mr\/foods\.yaml, line \d+: food\.ragi-flour: missing text/,
    );
    expect(
      changed('locales/hi/dishes.yaml', /( {2}greens-dal:\n(?:.*\n){2} {4}"2": ).*\n/, '$1""\n')[0],
    ).toMatch(/^locales\/hi\/dishes\.yaml, line \d+: dish\.greens-dal\.2: missing text/);
  });

  it('names a text that nothing uses, and a value that a text may not use', () => {
    expect(changed('locales/en/foods.yaml', 'food:\n', 'food:\n  moon-cheese: moon cheese\n')[0]).toMatch(
      /moon-cheese: nothing uses this text/,
    );
    expect(changed('locales/en/dishes.yaml', '{{greens}}', '{{leaf}}')[0]).toMatch(
      /nothing fills \{\{leaf\}\}/,
    );
  });

  it('names a text over its budget at its longest', () => {
    expect(
      changed('locales/en/dishes.yaml', 'Turn it when', `${'Wait a little. '.repeat(9)}Turn it when`)[0],
    ).toMatch(/dish\.greens-cheela\.3: \d+ letters at its longest, 150 fit/);
    expect(changed('locales/hi/dishes.yaml', 'किनारे उठें', `${'थोड़ा रुकें। '.repeat(8)}किनारे उठें`)[0]).toMatch(
      /134 fit/,
    );
    // Short as written, too long once the name of the longest food is in it.
    expect(
      changed(
        'locales/en/dishes.yaml',
        'Wash and chop {{greens}}.',
        `Wash and chop ${'{{greens}} '.repeat(4)}.`,
      )[0],
    ).toMatch(/150 fit/);
  });

  it('names a letter that would make a Latin text cost more', () => {
    expect(changed('locales/hi-Latn/dishes.yaml', 'Kinare uthein', 'Kināre uthein')[0]).toMatch(
      /outside the 7-bit alphabet/,
    );
  });

  it('names one spelling for two foods', () => {
    const problems = changed('locales/mr/foods.yaml', 'nachni, nachani, nagli', 'nachni, besan, nagli');
    expect(problems).toEqual([
      expect.stringMatching(/^locales\/mr\/foods\.yaml, line \d+: .*"besan" is (?:besan|ragi-flour) already/),
    ]);
  });

  it('names a text whose values are not those of the English one', () => {
    expect(changed('locales/mr/dishes.yaml', '{{greens}} धुऊन चिरा.', 'भाजी धुऊन चिरा.')[0]).toMatch(
      /^locales\/mr\/dishes\.yaml, line \d+: dish\.greens-cheela\.1: uses other values than the English text, which has greens/,
    );
  });

  it('names a message over its budget when its parts are put together', () => {
    expect(changed('locales/hi/customs.yaml', /(gains: ")/, `$1${'बहुत लंबा। '.repeat(6)}`).join()).toMatch(
      /the answer: \d+ letters/,
    );
  });

  it('says which file is not there, and which does not parse', () => {
    const files = contentFiles();
    expect(checkFoodContent(files.filter(({ path }) => path !== 'locales/mr/dishes.yaml'))[0]).toMatch(
      /^locales\/mr\/dishes\.yaml: no such file/,
    );
    const broken = files.map((file) =>
      file.path === 'flows/customs.yaml' ? { ...file, text: 'customs: [' } : file,
    );
    expect(checkFoodContent(broken)[0]).toMatch(/^flows\/customs\.yaml, line \d+: /);
  });
});

describe('the length of a text', () => {
  it('is counted in septets or UCS-2 units', () => {
    // 3GPP TS 23.038: letters of the extension table take two septets.
    expect(textLength('dal 50%')).toBe(7);
    expect(textLength('[a]')).toBe(5);
    expect(isSevenBit('पालक')).toBe(false);
    expect(textLength('पालक')).toBe(4);
  });
});
