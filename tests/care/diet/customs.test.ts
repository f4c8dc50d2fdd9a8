import { describe, expect, it } from 'vitest';
import { customAnswer } from '../../../src/care/diet/customs.ts';
import { openNames } from '../../../src/language/food-names.ts';
import { customs, foods, languages, yamlOf } from './content.ts';

const her = { eats: 'all', avoids: [], allergies: [] } as const;
const all = new Map(
  languages.map((language) => [
    language as string,
    yamlOf(`locales/${language}/customs.yaml`) as Record<string, Record<string, unknown>>,
  ]),
);
const texts = (language: string) => all.get(language) ?? {};
const at = (language: string, key: string): unknown =>
  key
    .split('.')
    .reduce<unknown>((tree, name) => (tree as Record<string, unknown> | undefined)?.[name], texts(language));
const names = openNames(
  languages.map((language) => ({
    language,
    names: Object.fromEntries(
      Object.entries(texts(language)['custom'] ?? {}).map(([id, one]) => [
        id,
        (one as { name: string }).name,
      ]),
    ),
    spelled: texts(language)['customSpelled'] as Record<string, string>,
  })),
);

describe('a question about a food, powder or custom', () => {
  it.each([...customs.values()])(
    '$id: every text exists, draining is told, and nothing is advised as medicine',
    (custom) => {
      const { parts } = customAnswer(custom, her, foods);
      expect(parts[0]?.[0]).toBe(`custom.${custom.id}.known`);
      if (custom.kind !== 'harm') expect(parts.flat()).toContain('customTalk.drain');
      if (custom.kind === 'food' || custom.kind === 'powder') {
        expect(parts.flat()).toContain('customTalk.ask');
        expect(parts.flat()).toContain('customTalk.gains');
      }
      if (custom.kind === 'powder' || custom.kind === 'harm')
        expect(parts.flat()).not.toContain('customTalk.fine-food');
      for (const language of languages) {
        for (const key of parts.flat()) {
          const text = at(language, key);
          expect(typeof text, `${language} ${key}`).toBe('string');
          // No dose: no number with a unit in any answer.
          expect(text as string).not.toMatch(/\d\s*(?:mg|g|ml|gram|times|बार|वेळा)/u);
        }
      }
    },
  );

  it('is never called fine when she is allergic to it or does not eat it', () => {
    const sesame = customs.get('sesame');
    if (sesame === undefined) throw new Error('no sesame');
    const answer = customAnswer(sesame, { ...her, allergies: ['sesame'] }, foods);
    expect(answer.notForHer).toBe(true);
    expect(answer.parts.flat()).not.toContain('customTalk.fine-food');
    expect(customAnswer(sesame, her, foods).notForHer).toBe(false);
  });

  it.each([
    ['kya shatavari le sakti hu', 'shatavari'],
    ['methi ke laddoo khau?', 'fenugreek-seeds'],
    ['शतावरी घ्यावी का', 'shatavari'],
    ['mother powder ok?', 'milk-powder-for-mothers'],
    ['gond ke laddu', 'edible-gum'],
    ['aliv', 'garden-cress'],
    ['gutkha', 'tobacco'],
    ['can i drink beer', 'alcohol'],
    ['shahad', 'honey-ghutti'],
    ['doodh badhane ki dawa', 'milk-medicine'],
  ])('is recognised in "%s"', (text, id) => {
    expect(names(text).things.map((one) => one.id)).toContain(id);
  });
});
