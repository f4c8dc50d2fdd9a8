import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { compileDanger, readDanger } from '../../src/language/danger/index.ts';

/** The danger phrase files of the four languages, as the shell would read them. */
const dangerFiles = ['en', 'hi', 'hi-Latn', 'mr'].map((language) => {
  const file = `locales/${language}/danger.yaml`;
  if (!readdirSync(`locales/${language}`).includes('danger.yaml')) throw new Error(`${file} is missing`);
  return { language, file, data: parse(readFileSync(file, 'utf8')) as unknown };
});

export const phrases = compileDanger(dangerFiles);

/** "baby fever" for a sure sign, "baby fever?" for an unsure one. */
export const signsIn = (text: string): readonly string[] =>
  readDanger(text, phrases).signs.map((sign) => `${sign.who} ${sign.code}${sign.sure ? '' : '?'}`);

/** The same without telling sure from unsure. */
export const signsAskedOrTold = (text: string): readonly string[] =>
  signsIn(text).map((sign) => sign.replace('?', ''));
