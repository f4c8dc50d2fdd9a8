/** One word or number of a text. `breakBefore`: 0 none, 1 a comma, 2 the end of a sentence. */
export interface Token {
  readonly word: string;
  readonly number: number | undefined;
  readonly start: number;
  readonly end: number;
  readonly breakBefore: 0 | 1 | 2;
}

const LONGEST_WORD = 32;
const INVISIBLE = /[\u00AD\u034F\u200B-\u200F\u202A-\u202E\u2060-\u2064\uFE00-\uFE0F\uFEFF]/gu;
const APOSTROPHE = /(\p{L})['’‘`´ʼ](\p{L})/gu;
const PIECE = /\d+(?:[.,]\d+)?|[\p{L}\p{M}]+|[.!?;\n\r।|…:,()/]+/gu;
const SENTENCE_END = /[.!?;\n\r।|…]/u;

const asciiDigits = (text: string): string =>
  text.replace(/[०-९]/gu, (digit) => String(digit.charCodeAt(0) - 0x0966));

/** Letters held three times or more are one letter, as in "feverrrr"; a possessive 's is dropped. */
const plainWord = (word: string): string => {
  const cut = word.length > LONGEST_WORD ? word.slice(0, LONGEST_WORD) : word;
  return cut.replace(/(.)\1{2,}/gu, '$1');
};

const cleanAny = (text: string): string =>
  asciiDigits(text.normalize('NFKC').toLowerCase().replace(INVISIBLE, ''))
    .replace(/['’‘`´ʼ]s(?![\p{L}])/gu, '')
    .replace(APOSTROPHE, '$1$2')
    .normalize('NFC');

/** Most texts are of ASCII alone: of all that is made alike there, only case and apostrophes differ. */
const cleanAscii = (text: string): string => {
  const small = text.toLowerCase();
  if (!/['`]/.test(small)) return small;
  return small.replace(/['`]s(?![a-z])/g, '').replace(/([a-z])['`]([a-z])/g, '$1$2');
};

/** Splits any text into words and numbers, lower case, NFC, digits of both scripts as ASCII. Never throws. */
export const textTokens = (text: string): { readonly clean: string; readonly tokens: readonly Token[] } => {
  const clean = /^[\0-\x7f]*$/.test(text) ? cleanAscii(text) : cleanAny(text);
  const tokens: Token[] = [];
  let breakBefore: 0 | 1 | 2 = 0;
  for (const found of clean.matchAll(PIECE)) {
    const piece = found[0];
    const first = piece.charCodeAt(0);
    if (first >= 48 && first <= 57) {
      tokens.push({
        word: piece,
        number: Number(piece.replace(',', '.')),
        start: found.index,
        end: found.index + piece.length,
        breakBefore,
      });
      breakBefore = 0;
    } else if (/^[\p{L}\p{M}]/u.test(piece)) {
      tokens.push({
        word: plainWord(piece),
        number: undefined,
        start: found.index,
        end: found.index + piece.length,
        breakBefore,
      });
      breakBefore = 0;
    } else if (SENTENCE_END.test(piece)) breakBefore = 2;
    else if (breakBefore === 0) breakBefore = 1;
  }
  return { clean, tokens };
};
