import {
  type CounsellorWordName,
  type CounsellorWords,
  counsellorWordNames,
  plainWords,
} from './counsellor-words.ts';

/** What a text that cannot be read was perhaps meant to be. Nothing is done of it: it is only said back. */
export type Meant =
  /** A word of hers that was mistyped. */
  | { readonly kind: 'word'; readonly word: CounsellorWordName }
  /** A word that stands behind an alert's code, sent without the code. */
  | { readonly kind: 'code-first'; readonly word: CounsellorWordName }
  /** Digits alone, but not four. */
  | { readonly kind: 'four-digits' };

const afterCode: ReadonlySet<CounsellorWordName> = new Set(['take', 'answers', 'say', 'give', 'open']);

/** What a text without an alert's code was perhaps meant to be. */
export function meantByText(body: string, words: CounsellorWords): Meant | undefined {
  const text = plainWords(body);
  if (/^#?\p{Nd}{2,8}(?!\p{Nd})/u.test(text) && !/^#?\p{Nd}{4}(?!\p{Nd})/u.test(text))
    return { kind: 'four-digits' };
  const first = firstWord(text);
  const said = counsellorWordNames.find((name) => words[name].includes(first));
  if (said !== undefined) return afterCode.has(said) ? { kind: 'code-first', word: said } : undefined;
  // "lst" is nearer to a word that stands alone than to one that would lack its code.
  const alone = counsellorWordNames.filter((name) => !afterCode.has(name));
  const word = nearWord(first, words, alone);
  if (word !== undefined) return { kind: 'word', word };
  const coded = nearWord(first, words, [...afterCode]);
  return coded === undefined ? undefined : { kind: 'code-first', word: coded };
}

/** The word that a note behind a code perhaps began with: "4821 gvie mary" is kept as a note, and she is asked. */
export function meantByNote(note: string, words: CounsellorWords): CounsellorWordName | undefined {
  const text = plainWords(note);
  // A whole sentence is a note: its first word is near to something only by chance.
  if (text.split(' ').length > 3) return undefined;
  return nearWord(firstWord(text), words, ['answers', 'say', 'give', 'open']);
}

/** The one code of which a typed one is a slip away: a digit wrong, or two changed about. Undefined when there are several. */
export function nearCode(typed: string, codes: readonly string[]): string | undefined {
  const near = codes.filter((code) => code.length === typed.length && isSlip([...typed], [...code]));
  return near.length === 1 ? near[0] : undefined;
}

function firstWord(text: string): string {
  return /^[\p{L}\p{M}]+/u.exec(text)?.[0] ?? '';
}

/** The one name of which a word is a slip away; words of two letters are too near to everything. */
function nearWord(
  typed: string,
  words: CounsellorWords,
  names: readonly CounsellorWordName[],
): CounsellorWordName | undefined {
  const letters = [...typed];
  if (letters.length < 2 || letters.length > 20) return undefined;
  const near = names.filter((name) =>
    words[name].some((word) => {
      const meant = [...word];
      return meant.length >= 3 && !word.includes(' ') && isSlip(letters, meant);
    }),
  );
  return near.length === 1 ? near[0] : undefined;
}

/** One letter wrong, left out, too many, or two changed about; of words from six letters on, two such slips. */
function isSlip(typed: readonly string[], meant: readonly string[]): boolean {
  const most = meant.length >= 6 ? 2 : 1;
  if (Math.abs(typed.length - meant.length) > most) return false;
  const rows: number[][] = [Array.from({ length: meant.length + 1 }, (_, j) => j)];
  const at = (i: number, j: number) => rows[i]?.[j] ?? most + 1;
  for (let i = 1; i <= typed.length; i += 1) {
    const row = [i];
    rows.push(row);
    for (let j = 1; j <= meant.length; j += 1) {
      const isSame = typed[i - 1] === meant[j - 1];
      let cost = Math.min(at(i - 1, j) + 1, at(i, j - 1) + 1, at(i - 1, j - 1) + (isSame ? 0 : 1));
      const isSwapped = i > 1 && j > 1 && typed[i - 1] === meant[j - 2] && typed[i - 2] === meant[j - 1];
      if (isSwapped) cost = Math.min(cost, at(i - 2, j - 2) + 1);
      row.push(cost);
    }
  }
  return at(typed.length, meant.length) <= most;
}
