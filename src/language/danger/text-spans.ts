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
  return { clean, tokens, startingAt: kept, starts: startsOf(kept), present, ...sentencesOf(tokens) };
};

const sentencesOf = (tokens: readonly Token[]): Pick<ReadText, 'sentenceFrom' | 'sentenceTo'> => {
  const sentenceFrom = new Uint16Array(tokens.length);
  const sentenceTo = new Uint16Array(tokens.length);
  let from = 0;
  tokens.forEach(({ breakBefore }, at) => {
    if (breakBefore === 2) {
      sentenceTo.fill(at, from, at);
      from = at;
    }
    sentenceFrom[at] = from;
  });
  sentenceTo.fill(tokens.length, from);
  return { sentenceFrom, sentenceTo };
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
    if (at > 0 && tokens[position]?.breakBefore === 2) return -1;
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
