import type { AnswerWords } from '../answer-words.ts';
import type { DayName, MarkName, PartName, ReplyName, UnitName } from './words-file.ts';
import type { Lexicon } from './lexicon.ts';
import { normalise, type Token, tokenise } from './normalise.ts';
import { type NumberStyle, numberAt, splitJoinedWords } from './number-words.ts';

/** One thing found in a text. `at` and `end` are places in the normalised text. */
export type Item = (
  | {
      readonly kind: 'number';
      readonly value: number;
      readonly digits: string | null;
      readonly weak: boolean;
      readonly exact: boolean;
    }
  | { readonly kind: 'unit'; readonly name: UnitName }
  | { readonly kind: 'mark'; readonly name: MarkName }
  | { readonly kind: 'day'; readonly name: DayName }
  | { readonly kind: 'part'; readonly name: PartName }
  | { readonly kind: 'month'; readonly value: number; readonly word: string }
  | { readonly kind: 'weekday'; readonly value: number }
  | { readonly kind: 'ordinal'; readonly value: number }
  | { readonly kind: 'reply'; readonly name: ReplyName | 'none'; readonly text: string }
  | { readonly kind: 'word'; readonly text: string }
  | { readonly kind: 'sign'; readonly text: string }
) & { readonly at: number; readonly end: number; readonly glued: boolean };

type NamedKind = 'unit' | 'mark' | 'day' | 'part' | 'month' | 'weekday' | 'ordinal' | 'reply' | 'none';

/** What a reader looks for. Names not listed are left as plain words. */
export interface Wanted {
  readonly numbers?: NumberStyle;
  readonly units?: ReadonlySet<UnitName>;
  readonly marks?: ReadonlySet<MarkName>;
  readonly kinds?: readonly NamedKind[];
}

function lexiconOf(kind: NamedKind, words: AnswerWords): Lexicon<string | number> {
  switch (kind) {
    case 'unit':
      return words.units;
    case 'mark':
      return words.marks;
    case 'day':
      return words.days;
    case 'part':
      return words.parts;
    case 'month':
      return words.months;
    case 'weekday':
      return words.weekdays;
    case 'ordinal':
      return words.ordinals;
    case 'reply':
      return words.replies;
    case 'none':
      return words.none;
    default:
      return kind satisfies never;
  }
}

function itemOf(kind: NamedKind, meaning: string | number, place: Place): Item {
  switch (kind) {
    case 'month':
      return { kind, value: Number(meaning), word: place.text, ...place.span };
    case 'weekday':
    case 'ordinal':
      return { kind, value: Number(meaning), ...place.span };
    case 'none':
      return { kind: 'reply', name: 'none', text: place.text, ...place.span };
    // The lexicon of a kind holds only names of that kind.
    default:
      return { kind, name: meaning, text: place.text, ...place.span } as Item;
  }
}

interface Place {
  readonly text: string;
  readonly span: { readonly at: number; readonly end: number; readonly glued: boolean };
}

const place = (tokens: readonly Token[], at: number, length: number): Place => ({
  text: tokens[at]?.text ?? '',
  span: {
    at: tokens[at]?.at ?? 0,
    end: tokens[at + length - 1]?.end ?? 0,
    glued: tokens[at]?.glued ?? false,
  },
});

/** An answer has fewer pieces. What comes after is a story: it is left as unknown words, which makes a reading doubtful. */
const mostPieces = 120;

/** Digits and single spaces, shorter than `mostPieces`: "9 3 6 4". */
const onlyDigits = /^\d{1,9}(?: \d{1,9}){0,20}$/;

/** The answer as it is asked for: nothing in it can be anything but numbers, and no number joins the next. */
function digitsAlone(text: string): readonly Item[] {
  const items: Item[] = [];
  for (let at = 0; at < text.length; ) {
    const space = text.indexOf(' ', at);
    const end = space === -1 ? text.length : space;
    const digits = text.slice(at, end);
    items.push({
      kind: 'number',
      value: Number(digits),
      digits,
      weak: false,
      exact: true,
      at,
      end,
      glued: false,
    });
    at = end + 1;
  }
  return items;
}

/** Finds, left to right, the longest thing that is wanted at each place. All else comes out as words and signs. */
export function scan(text: string, words: AnswerWords, wanted: Wanted): readonly Item[] {
  if (onlyDigits.test(text)) return digitsAlone(text);
  const tokens = splitJoinedWords(tokenise(normalise(text)), words);
  const items: Item[] = [];
  const kinds = wanted.kinds ?? [];
  for (let at = 0; at < tokens.length; ) {
    const token = tokens[at];
    if (token === undefined) break;
    if (at >= mostPieces) {
      items.push({ kind: 'word', text: token.text, ...place(tokens, at, 1).span });
      at += 1;
      continue;
    }
    const number = numberAt(tokens, at, words, wanted.numbers);
    let best: Item | undefined;
    let length = 0;
    let fit = 0;
    if (number !== undefined) {
      length = number.length;
      fit = 2 * length + (number.exact ? 1 : 0);
      const { value, digits, weak, exact } = number;
      best = { kind: 'number', value, digits, weak, exact, ...place(tokens, at, length).span };
    }
    for (const kind of kinds) {
      const match = lexiconOf(kind, words).match(tokens, at);
      if (match === undefined) continue;
      // The longest wins; of two as long, the one that is spelt as listed.
      const matchFit = 2 * match.length + (match.exact ? 1 : 0);
      if (matchFit <= fit) continue;
      if (kind === 'unit' && wanted.units?.has(match.meaning as UnitName) !== true) continue;
      if (kind === 'mark' && wanted.marks?.has(match.meaning as MarkName) !== true) continue;
      length = match.length;
      fit = matchFit;
      best = itemOf(kind, match.meaning, place(tokens, at, length));
    }
    const other: Item = {
      kind: token.kind === 'word' ? 'word' : 'sign',
      text: token.text,
      ...place(tokens, at, 1).span,
    };
    items.push(best ?? other);
    at += Math.max(1, length);
  }
  return items.map((item, i) => {
    const [before, next] = [items[i - 1], items[i + 1]];
    const one =
      item.kind === 'word' &&
      words.articles.has(item.text) &&
      next?.kind === 'unit' &&
      before?.kind !== 'number';
    const { at, end, glued } = item;
    return one ? { kind: 'number', value: 1, digits: null, weak: true, exact: true, at, end, glued } : item;
  });
}
