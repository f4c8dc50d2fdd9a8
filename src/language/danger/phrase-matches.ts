import type { DangerPhrase, DangerPhrases } from './compile-danger.ts';
import type { ReadText, Span } from './text-spans.ts';
import type { Likeness } from './vocabulary.ts';

/** A danger phrase found in a text, over tokens `from` up to `to`. */
export interface PhraseMatch {
  readonly phrase: DangerPhrase;
  readonly from: number;
  readonly to: number;
  readonly likeness: Likeness;
  readonly spans: readonly Span[];
}

/** Tokens that cannot take part, like a "not" that belongs to another word. */
export type Usable = (span: Span, phrase: DangerPhrase) => boolean;

/** Limits that no text of a person reaches; they bound the time that any text can take. */
const WORK_LIMIT = 60_000;
const MOST_OF_ONE = 25;

/** All places where a danger phrase stands within one sentence; `usable` may keep a word out. */
export const phraseMatches = (
  read: ReadText,
  phrases: DangerPhrases,
  wanted: (phrase: DangerPhrase) => boolean,
  usable: Usable,
): readonly PhraseMatch[] => {
  const { startingAt, present, tokens } = read;
  const found: PhraseMatch[] = [];
  const done = new Map<DangerPhrase, number>();
  const times = new Map<DangerPhrase, number>();
  const possible = new Map<DangerPhrase, boolean>();
  let work = 0;

  let sentence = 0;
  const sentences = tokens.map(({ breakBefore }) => (breakBefore === 2 ? ++sentence : sentence));
  const sameSentence = (from: number, to: number): boolean => sentences[from] === sentences[to - 1];
  const canStand = (phrase: DangerPhrase): boolean => {
    const known = possible.get(phrase);
    if (known !== undefined) return known;
    const can = wanted(phrase) && phrase.items.every((item) => item.some((slot) => present.has(slot)));
    possible.set(phrase, can);
    return can;
  };

  const rest = (
    phrase: DangerPhrase,
    at: number,
    taken: readonly Span[],
    low: number,
    high: number,
  ): PhraseMatch | undefined => {
    const item = phrase.items[at];
    if (item === undefined)
      return {
        phrase,
        from: low,
        to: high,
        likeness: taken.reduce<Likeness>((worst, span) => (span.likeness > worst ? span.likeness : worst), 0),
        spans: taken,
      };
    const last = taken[taken.length - 1];
    const start = phrase.ordered && last !== undefined ? last.to : Math.max(0, low - phrase.gap - 2);
    const end = phrase.ordered && last !== undefined ? last.to + phrase.gap : high + phrase.gap;
    for (let position = start; position <= end && position < tokens.length; position++) {
      for (const span of startingAt[position] ?? []) {
        if (!item.includes(span.slot) || !usable(span, phrase) || ++work > WORK_LIMIT) continue;
        if (taken.some((one) => span.from < one.to && one.from < span.to)) continue;
        const from = Math.min(low, span.from);
        const to = Math.max(high, span.to);
        if (!sameSentence(from, to)) continue;
        const match = rest(phrase, at + 1, [...taken, span], from, to);
        if (match !== undefined) return match;
      }
    }
    return undefined;
  };

  startingAt.forEach((spans, position) => {
    for (const span of spans) {
      for (const phrase of phrases.phrases.get(span.slot) ?? []) {
        if (!canStand(phrase) || !usable(span, phrase)) continue;
        if ((done.get(phrase) ?? -1) >= position || (times.get(phrase) ?? 0) >= MOST_OF_ONE) continue;
        const match = rest(phrase, 1, [span], span.from, span.to);
        if (match === undefined) continue;
        found.push(match);
        times.set(phrase, (times.get(phrase) ?? 0) + 1);
        done.set(phrase, match.from);
      }
    }
  });
  return found;
};
