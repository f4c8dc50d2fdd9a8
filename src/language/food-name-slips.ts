import { typosBetween } from './danger/near-words.ts';
import type { Token } from './danger/text-tokens.ts';
import type { NameIndex } from './food-name-index.ts';

/** A word of a text, with what stood before it. */
export type Word = Pick<Token, 'word' | 'breakBefore'>;

/**
 * One slip in a word: a letter left out, put in, changed or swapped. Words of three letters are taken only for a name of four. Null when two
 * things are as near, or none.
 */
export function wordSlip(word: string, index: NameIndex): string | null {
  if (word.length < 3 || word.length > 20) return null;
  const near = new Set<string>();
  for (const [name, id] of index.single.get(word.slice(0, 1)) ?? []) {
    if (
      name.length < 4 ||
      Math.abs(name.length - word.length) > 1 ||
      (word.length === 3 && name.length !== 4)
    )
      continue;
    if (typosBetween(word, name) === 1) near.add(id);
  }
  const [only] = near;
  return near.size === 1 && only !== undefined ? only : null;
}

/** A name of several words of which one is as it should be and the others at most a slip away: 'bown rice'. The longest; null on a tie. */
export function phraseSlip(
  tokens: readonly Word[],
  at: number,
  index: NameIndex,
): { readonly id: string; readonly count: number } | null {
  let found: { id: string; count: number; typos: number } | null = null;
  let tied = false;
  for (let offset = 0; offset < 4; offset++) {
    const token = tokens[at + offset];
    if (token === undefined || (offset > 0 && token.breakBefore > 0)) break;
    for (const { words, id } of index.long.get(token.word) ?? []) {
      if (words[offset] !== token.word) continue;
      const typos = typosOf(words, tokens, at);
      if (typos === null) continue;
      const better =
        found === null || words.length > found.count || (words.length === found.count && typos < found.typos);
      if (better) {
        found = { id, count: words.length, typos };
        tied = false;
      } else if (found !== null && words.length === found.count && typos === found.typos && id !== found.id)
        tied = true;
    }
  }
  return tied ? null : found;
}

function typosOf(words: readonly string[], tokens: readonly Word[], at: number): number | null {
  let all = 0;
  for (const [place, word] of words.entries()) {
    const token = tokens[at + place];
    if (token === undefined || (place > 0 && token.breakBefore > 0)) return null;
    if (token.word === word) continue;
    if (word.length < 3 || token.word.length < 3 || token.word[0] !== word[0]) return null;
    const typos = typosBetween(token.word, word);
    if (typos > (word.length > 7 ? 2 : 1)) return null;
    all += typos;
  }
  return all;
}

/** Names written without spaces between them: 'palakbesan'. Null when it does not come out even. */
export function splitGlued(word: string, index: NameIndex): readonly string[] | null {
  const endsAt: (readonly string[] | null)[] = [[]];
  for (let to = 1; to <= word.length; to++) {
    endsAt[to] = null;
    for (let from = Math.max(0, to - 12); from <= to - 3; from++) {
      const before = endsAt[from];
      const id = index.written.get(word.slice(from, to));
      if (before !== null && before !== undefined && id !== undefined) {
        endsAt[to] = [...before, id];
        break;
      }
    }
  }
  return endsAt[word.length] ?? null;
}
