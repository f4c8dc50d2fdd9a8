import { heavyFold, lightFold } from './fold.ts';

/** One piece of a text: a run of digits, a word, or one mark. `at` and `end` are places in the normalised text. */
export interface Token {
  readonly text: string;
  /** `text` in the folded spellings by which words are also found; the same as `text` for digits and marks. */
  readonly light: string;
  readonly heavy: string;
  readonly kind: 'digits' | 'word' | 'mark';
  /** True when nothing, not even a space, stands between this and the piece before. */
  readonly glued: boolean;
  readonly at: number;
  readonly end: number;
}

/** Longest text that is read; a text of ten segments is shorter. */
const maxLength = 1600;

/** Code points of zero in the scripts of South Asia, and Arabic: the nine after it are the other digits. */
const zeros = [0x966, 0x9e6, 0xa66, 0xae6, 0xb66, 0xbe6, 0xc66, 0xce6, 0xd66, 0x660, 0x6f0] as const;

const latinDigit = (digit: string): string => {
  const point = digit.codePointAt(0) ?? 0;
  const zero = zeros.find((z) => point >= z && point <= z + 9);
  return zero === undefined ? digit : String(point - zero);
};

const vulgar: Readonly<Record<string, string>> = { '½': ' 1/2', '¼': ' 1/4', '¾': ' 3/4' };

/**
 * One spelling for what looks the same: small letters, Latin digits, no accents, no nukta, one nasal sign, no apostrophe or
 * invisible joiner. Spaces and line ends stay. Text past 1,600 characters is cut off. Never throws.
 */
export function normalise(text: string): string {
  const read = text.slice(0, maxLength);
  return /^[\0-\x7f]*$/.test(read) ? normaliseAscii(read) : normaliseAny(read);
}

/** What of the spelling can differ in ASCII alone: most texts are, and the rest costs ten times as much. */
function normaliseAscii(text: string): string {
  const small = text.toLowerCase();
  if (!/[-~'`]|([a-z])\1\1/.test(small)) return small;
  return small
    .replace(/-{2,}|(?<=\d *)~(?= *\d)/g, '-')
    .replace(/(?<=[a-z])['`](?=[a-z])/g, '')
    .replace(/([a-z])\1{2,}/g, '$1$1');
}

function normaliseAny(text: string): string {
  return text
    .replace(/[½¼¾]/gu, (f) => vulgar[f] ?? f)
    .normalize('NFKC')
    .toLowerCase()
    .normalize('NFD')
    .replace(/[\u0300-\u036f\u093c\u0970\u200b-\u200f\u2060\ufe0e\ufe0f\ufeff]|[\u{1f3fb}-\u{1f3ff}]/gu, '')
    .normalize('NFC')
    .replace(/\u093c/gu, '')
    .replace(/\u0901/gu, '\u0902')
    .replace(/\p{Nd}/gu, latinDigit)
    .replace(/[\u2010-\u2015\u2212]/gu, '-')
    .replace(/-{2,}|(?<=\d *)~(?= *\d)/gu, '-')
    .replace(/(?<=\p{L})['\u2018\u2019`\u02bc](?=\p{L})/gu, '')
    .replace(/([a-z])\1{2,}/gu, '$1$1')
    .replace(/[\u0964\u00b7]/gu, '.');
}

/** The pieces of a normalised text, in order. Spaces are not pieces; a line end is a mark. */
export function tokenise(normalised: string): readonly Token[] {
  const tokens: Token[] = [];
  // Words repeat in a text, and folding costs more than all else.
  const folds = new Map<string, readonly [light: string, heavy: string]>();
  let end = -1;
  for (const match of normalised.matchAll(/\d+|[\p{L}\p{M}]+|\n|[^\s]/gu)) {
    const text = match[0];
    const kind = /^\d/u.test(text) ? 'digits' : /^[\p{L}\p{M}]/u.test(text) ? 'word' : 'mark';
    const known = kind === 'word' ? folds.get(text) : ([text, text] as const);
    const [light, heavy] = known ?? [lightFold(text), heavyFold(text)];
    if (known === undefined) folds.set(text, [light, heavy]);
    tokens.push({
      text,
      light,
      heavy,
      kind,
      glued: match.index === end,
      at: match.index,
      end: match.index + text.length,
    });
    end = match.index + text.length;
  }
  return tokens;
}

/** A token with another word in its place. */
export const respelt = (token: Token, text: string): Token => ({
  ...token,
  text,
  light: lightFold(text),
  heavy: heavyFold(text),
});
