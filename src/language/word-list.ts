import { soundKey } from './danger/sound-key.ts';
import { textTokens } from './danger/text-tokens.ts';

/** Whether a text holds one of some words or runs of words, whatever the script or spelling: "khaun", "khau", "खाऊं". */
export function holdsWord(text: string, words: readonly string[]): boolean {
  const said = ` ${keys(text)} `;
  return words.some((word) => {
    const key = keys(word);
    return key !== '' && said.includes(` ${key} `);
  });
}

const keys = (text: string): string =>
  textTokens(text.slice(0, 2000))
    .tokens.map(({ word }) => soundKey(word))
    .join(' ');
