import { soundKey } from './danger/sound-key.ts';
import { textTokens } from './danger/text-tokens.ts';
import { remembered, rememberedTexts } from './remembered.ts';

/** Lists of words by name, each made ready once. */
export interface WordLists {
  /** Whether a text holds one of the words or runs of words of a list, whatever the script or spelling: "khaun", "khau", "खाऊं". */
  holds(text: string, list: string): boolean;
}

/** @param words those of a list, by its name; none for a name that is not known */
export function openWordLists(words: (list: string) => readonly string[]): WordLists {
  const lists = new Map<string, readonly string[]>();
  const sound = remembered(soundKey);
  const spaced = (text: string): string =>
    ` ${textTokens(text.slice(0, 2000))
      .tokens.map(({ word }) => sound(word))
      .join(' ')} `;
  const keysOf = (list: string): readonly string[] => {
    const known = lists.get(list);
    if (known !== undefined) return known;
    const keys = words(list)
      .map(spaced)
      .filter((key) => key.trim() !== '');
    lists.set(list, keys);
    return keys;
  };
  const known = rememberedTexts(spaced);
  // A long text is looked at for several lists in a row too.
  let last = { text: '', said: spaced('') };
  return {
    holds: (text, list) => {
      if (last.text !== text) last = { text, said: known(text) };
      return keysOf(list).some((key) => last.said.includes(key));
    },
  };
}
