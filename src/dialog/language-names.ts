import type { Wording } from '../language/wording.ts';

/** Every name of every language of the line, plainly spelt, with the language's place on the menu, from 0. */
export type LanguageNames = ReadonlyMap<string, number>;

/** A text without case, marks, figures and runs of space. */
export function plainName(text: string): string {
  return text
    .normalize('NFC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\s]/gu, '')
    .trim()
    .replace(/\s+/gu, ' ');
}

/** Made once: any text may be the name of a language. Of two languages of one name the first is meant. */
export function languageNames(wording: Wording, languages: readonly string[]): LanguageNames {
  const names = new Map<string, number>();
  for (const [index, language] of languages.entries()) {
    const also = wording.say('language.also', {}, language, 'text').split(',');
    for (const name of [wording.say('language.name', {}, language, 'text'), ...also]) {
      const key = plainName(name);
      if (!names.has(key)) names.set(key, index);
    }
  }
  return names;
}
