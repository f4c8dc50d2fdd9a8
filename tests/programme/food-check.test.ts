import { afterEach, describe, expect, it } from 'vitest';
import { checkContent } from '../../src/programme/check/check-content.ts';
import { type ContentCopy, copyContent } from './content-copy.ts';

let copy: ContentCopy | undefined;
afterEach(() => copy?.remove());

/** What the check finds after one change to a copy of the project's own content. */
function problemsAfter(file: string, from: string, to: string): readonly string[] {
  copy = copyContent();
  copy.edit(file, from, to);
  return checkContent(copy.root)
    .filter(({ weight }) => weight === 'problem')
    .map(({ text }) => text);
}

describe('what is wrong with the food is found by the check, with file and line', () => {
  it.each([
    [
      'a dish with an unknown food',
      'flows/dishes.yaml',
      '{ food: besan, amount: 1.5, measure: bowl }',
      '{ food: besann, amount: 1.5, measure: bowl }',
      /^flows\/dishes\.yaml, line \d+: .*no food named "besann"/u,
    ],
    [
      'a portion with no weight',
      'flows/dishes.yaml',
      '{ food: besan, amount: 1.5, measure: bowl }',
      '{ food: besan, amount: 1.5, measure: bunch }',
      /^flows\/dishes\.yaml, line \d+: .*no weight/u,
    ],
    [
      'a missing translation',
      'locales/mr/foods.yaml',
      '\n  lemon:',
      '\n  lemonn:',
      /^locales\/mr\/foods\.yaml, line \d+: .*lemon.*missing text/u,
    ],
  ])('%s', (_, file, from, to, expected) => {
    expect(problemsAfter(file, from, to).some((text) => expected.test(text))).toBe(true);
  });

  it('a text of the talk about food that one language lacks', () => {
    expect(() => problemsAfter('locales/hi/food-talk.yaml', '  later:', '  laterr:')).toThrow(
      /locales\/hi\/food-talk\.yaml: "kitchen\.later" is missing/u,
    );
  });
});
