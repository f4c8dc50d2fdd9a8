import type { Wording } from '../language/wording.ts';

/** What a counsellor's words ask for. */
export const counsellorWordNames = [
  'take',
  'list',
  'why',
  'answers',
  'say',
  'give',
  'open',
  'enrol',
  'off',
  'on',
] as const;
export type CounsellorWordName = (typeof counsellorWordNames)[number];

/** The words of all languages, each once, the longest first. In small letters, single spaces. */
export type CounsellorWords = Readonly<Record<CounsellorWordName, readonly string[]>>;

/** Reads `counsellor.word.…` of every language: people mix them, so all are understood at once. */
export function counsellorWords(wording: Wording, languages: readonly string[]): CounsellorWords {
  const wordsOf = (name: CounsellorWordName): readonly string[] => {
    const all = languages.flatMap((l) => wording.say(`counsellor.word.${name}`, {}, l, 'text').split(','));
    return [...new Set(all.map(plainWords).filter((w) => w !== ''))].sort((a, b) => b.length - a.length);
  };
  return Object.fromEntries(counsellorWordNames.map((n) => [n, wordsOf(n)])) as Record<
    CounsellorWordName,
    readonly string[]
  >;
}

/** Small letters, one space between words. */
export function plainWords(text: string): string {
  return text.normalize('NFC').toLowerCase().replace(/\s+/g, ' ').trim();
}
