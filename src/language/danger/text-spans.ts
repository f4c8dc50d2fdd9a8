import type { DangerPhrases } from './compile-danger.ts';
import { mendTokens } from './mend-tokens.ts';
import { type Token, textTokens } from './text-tokens.ts';
import type { KnownWord, Likeness } from './vocabulary.ts';

/** A saying found in a text: tokens `from` up to, not including, `to`. */
export interface Span {
  readonly slot: number;
  readonly from: number;
  readonly to: number;
  readonly likeness: Likeness;
}

/** A text with every saying found in it, by the token where it starts. */
export interface ReadText {
  readonly clean: string;
  readonly tokens: readonly Token[];
  readonly startingAt: readonly (readonly Span[])[];
  /** For each slot, 1 at the tokens where one of its sayings starts. */
  readonly starts: ReadonlyMap<number, Uint8Array>;
  /** For each token, where its sentence begins, and the token after its end. */
  readonly sentenceFrom: Uint16Array;
  readonly sentenceTo: Uint16Array;
  /** The same for its clause: between commas, a "but", and an "and" that somebody else follows. */
  readonly clauseFrom: Uint16Array;
  readonly clauseTo: Uint16Array;
  /** Slots present anywhere in the text. */
  readonly present: ReadonlySet<number>;
}

const longer = (a: Likeness, b: Likeness): Likeness => (a > b ? a : b);
const MOST_TOKENS = 700;
/** Below this many letters a mistyped word may be any word: "govt" is no goat. */
const LONG_WORD = 6;
const isShort = (tokens: readonly Token[], from: number, words: readonly string[]): boolean =>
  words.some((_, at) => (tokens[from + at]?.word.length ?? 0) < LONG_WORD);

/** Finds every known saying in a text, past spelling, then blanks the harmless ones ("milk fever", "hot day"). */
export const textSpans = (text: string, phrases: DangerPhrases): ReadText => {
  const { clean, tokens: written } = textTokens(text);
  const all = mendTokens(written, clean, phrases.vocabulary);
  const tokens = all.length > MOST_TOKENS ? all.slice(0, MOST_TOKENS) : all;
  const memo = new Map<string, readonly KnownWord[]>();
  const known = tokens.map((token) => {
    const remembered = memo.get(token.word);
    if (remembered !== undefined) return remembered;
    const found = phrases.vocabulary.known(token.word);
    memo.set(token.word, found);
    return found;
  });
  const startingAt: Span[][] = tokens.map(() => []);
  const present = new Set<number>();
  known.forEach((candidates, from) => {
    const here = startingAt[from];
    if (here === undefined) return;
    for (const first of candidates) {
      for (const saying of phrases.vocabulary.sayingsFrom(first.word)) {
        let likeness = first.likeness;
        let whole = true;
        for (let at = 1; at < saying.words.length; at++) {
          const wanted = saying.words[at];
          const next = known[from + at]?.find((one) => one.word === wanted);
          if (next === undefined || tokens[from + at]?.breakBefore === 2) {
            whole = false;
            break;
          }
          likeness = longer(likeness, next.likeness);
        }
        if (
          !whole ||
          (first.word === 'the' && isPast(saying.slot, phrases) && !endsClause(tokens, from)) ||
          (likeness === 2 && phrases.hiding.has(saying.slot) && isShort(tokens, from, saying.words))
        )
          continue;
        if (here.some((span) => span.slot === saying.slot && span.to === from + saying.words.length))
          continue;
        here.push({ slot: saying.slot, from, to: from + saying.words.length, likeness });
        present.add(saying.slot);
      }
    }
  });
  const kept = withoutHarmless(startingAt, present, tokens, phrases);
  const starts = startsOf(kept);
  const is = (at: number, slot: number): boolean => starts.get(slot)?.[at] === 1;
  const { from: sentenceFrom, to: sentenceTo } = partsOf(tokens, (at) => tokens[at]?.breakBefore === 2);
  const { from: clauseFrom, to: clauseTo } = partsOf(tokens, (at) => beginsClause(tokens, at, is, phrases));
  return { clean, tokens, startingAt: kept, starts, present, sentenceFrom, sentenceTo, clauseFrom, clauseTo };
};

/** What may follow the Hindi "the" (were), which ends its clause; after the English one stands what it points at. */
const afterWere: ReadonlySet<string> = new Set(
  'par pr per pe lekin magar aur or ab abhi phir fir tab to toh jo kal aj aaj na n isliye kyuki kyunki but now us usko'.split(
    ' ',
  ),
);
const isPast = (slot: number, phrases: DangerPhrases): boolean =>
  slot === phrases.slot.was || slot === phrases.slot.be;
const endsClause = (tokens: readonly Token[], at: number): boolean => {
  const next = tokens[at + 1];
  return next === undefined || next.breakBefore > 0 || afterWere.has(next.word);
};

/** For each token, where its part of the text begins and the token after its end; `begins` tells a part's first token. */
const partsOf = (tokens: readonly Token[], begins: (at: number) => boolean) => {
  const starts = new Uint16Array(tokens.length);
  const ends = new Uint16Array(tokens.length);
  let from = 0;
  tokens.forEach((_, at) => {
    if (begins(at)) {
      ends.fill(at, from, at);
      from = at;
    }
    starts[at] = from;
  });
  ends.fill(tokens.length, from);
  return { from: starts, to: ends };
};

const persons = ['baby', 'mother', 'other-person', 'worker'] as const;

/** A clause begins after a comma, with a "but", and with an "and" that somebody follows or that follows an end ("hai aur"). */
const beginsClause = (
  tokens: readonly Token[],
  at: number,
  is: (at: number, slot: number) => boolean,
  { slot }: DangerPhrases,
): boolean => {
  if ((tokens[at]?.breakBefore ?? 0) > 0 || is(at, slot.but)) return true;
  if (!is(at, slot['and-word'])) return false;
  return is(at - 1, slot.be) || persons.some((name) => is(at + 1, slot[name]) || is(at + 2, slot[name]));
};

const startsOf = (startingAt: readonly (readonly Span[])[]): ReadonlyMap<number, Uint8Array> => {
  const starts = new Map<number, Uint8Array>();
  startingAt.forEach((spans, at) => {
    for (const { slot } of spans) {
      const flags = starts.get(slot) ?? new Uint8Array(startingAt.length);
      flags[at] = 1;
      starts.set(slot, flags);
    }
  });
  return starts;
};

/** A word inside a harmless saying is no longer taken for a sign or its denial; it still says who, when and whether asked. */
const withoutHarmless = (
  startingAt: readonly (readonly Span[])[],
  present: ReadonlySet<number>,
  tokens: readonly Token[],
  phrases: DangerPhrases,
): readonly (readonly Span[])[] => {
  const blank = new Set<number>();
  const follow = (items: readonly (readonly number[])[], at: number, position: number): number => {
    const item = items[at];
    if (item === undefined) return position;
    if (at > 0 && (tokens[position]?.breakBefore ?? 2) > 0) return -1;
    for (const span of startingAt[position] ?? []) {
      if (!item.includes(span.slot)) continue;
      const end = follow(items, at + 1, span.to);
      if (end >= 0) return end;
    }
    return -1;
  };
  startingAt.forEach((spans, position) => {
    for (const span of spans) {
      for (const items of phrases.harmless.get(span.slot) ?? []) {
        if (!items.every((item) => item.some((slot) => present.has(slot)))) continue;
        const end = follow(items, 0, position);
        for (let at = position; at < end; at++) blank.add(at);
      }
    }
  });
  if (blank.size === 0) return startingAt;
  return startingAt.map((spans) =>
    spans.filter((span) => phrases.hiding.has(span.slot) || !overlaps(span, blank)),
  );
};

const overlaps = (span: Span, blank: ReadonlySet<number>): boolean => {
  for (let at = span.from; at < span.to; at++) if (blank.has(at)) return true;
  return false;
};
