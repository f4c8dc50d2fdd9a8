import type { AnswerWords } from '../answer-words.ts';
import { respelt, type Token } from './normalise.ts';

/** A number as written at one place of a text. */
export interface WrittenNumber {
  readonly value: number;
  /** How many tokens it took. */
  readonly length: number;
  /** The digits when it is digits alone; null for words and mixed writing. */
  readonly digits: string | null;
  /** True for a word that also means something else ('do' is two, and give). */
  readonly weak: boolean;
  /** False when the word was only recognised in a folded or mistyped spelling. */
  readonly exact: boolean;
}

export interface NumberStyle {
  /** '3,2' is 3.2 and '3,200' is 3200. Without it a comma stands between two numbers. */
  readonly decimalComma?: boolean;
  /** '8.5' is 8.5 and '1/2' is a half. Without it both are two numbers. */
  readonly decimals?: boolean;
}

/** Splits number words written as one ('sadeteen', 'thirtytwo') into their parts; everything else stays. */
export function splitJoinedWords(tokens: readonly Token[], words: AnswerWords): readonly Token[] {
  return tokens.flatMap((token) => {
    const parts = token.kind === 'word' ? words.joined.get(token.text) : undefined;
    return parts === undefined
      ? [token]
      : parts.map((text, i) => ({ ...respelt(token, text), glued: i > 0 || token.glued }));
  });
}

const plain = (value: number, length: number, over: Partial<WrittenNumber> = {}): WrittenNumber => ({
  value,
  length,
  digits: null,
  weak: false,
  exact: true,
  ...over,
});

function digitsAt(tokens: readonly Token[], at: number, style: NumberStyle): WrittenNumber | undefined {
  const first = tokens[at];
  if (first?.kind !== 'digits') return undefined;
  const mark = tokens[at + 1];
  const after = tokens[at + 2];
  if (mark?.glued === true && after?.kind === 'digits' && after.glued) {
    const thousands = first.text.length <= 3 && first.text !== '0' && after.text.length === 3;
    const decimal = first.text.length <= 3 && after.text.length <= 3;
    if (mark.text === ',' && style.decimalComma === true && decimal) {
      return plain(Number(thousands ? first.text + after.text : `${first.text}.${after.text}`), 3);
    }
    if (mark.text === '.' && style.decimals === true) return plain(Number(`${first.text}.${after.text}`), 3);
  }
  return plain(Number(first.text), 1, { digits: first.text });
}

/** '.5' at the start of a text or after a space. */
function pointFirstAt(tokens: readonly Token[], at: number): WrittenNumber | undefined {
  const [point, after] = tokens.slice(at, at + 2);
  const starts = point?.text === '.' && !(point.glued && at > 0);
  return starts && after?.kind === 'digits' && after.glued ? plain(Number(`0.${after.text}`), 2) : undefined;
}

/** 'n/2' and 'n/4' below one. */
function slashAt(tokens: readonly Token[], at: number): WrittenNumber | undefined {
  const [top, slash, below] = tokens.slice(at, at + 3);
  if (
    top?.kind !== 'digits' ||
    below?.kind !== 'digits' ||
    !(slash?.text === '/' || slash?.text === '\u2044')
  )
    return undefined;
  const under = Number(below.text);
  const over = Number(top.text);
  return (under === 2 || under === 4) && over > 0 && over < under ? plain(over / under, 3) : undefined;
}

function wordAt(tokens: readonly Token[], at: number, words: AnswerWords): WrittenNumber | undefined {
  if (tokens[at]?.kind !== 'word') return undefined;
  const match = words.numbers.match(tokens, at);
  if (match === undefined) return undefined;
  const text = tokens[at]?.text ?? '';
  const weak = words.weakNumbers.has(text);
  if (!words.tens.has(text)) return plain(match.meaning, match.length, { weak, exact: match.exact });
  const gap = tokens[at + 1]?.text === '-' ? 2 : 1;
  const unit = tokens[at + gap]?.kind === 'word' ? words.numbers.match(tokens, at + gap) : undefined;
  return unit !== undefined && unit.meaning >= 1 && unit.meaning <= 9
    ? plain(match.meaning + unit.meaning, gap + unit.length)
    : plain(match.meaning, match.length);
}

function fractionAt(
  tokens: readonly Token[],
  at: number,
  words: AnswerWords,
  style: NumberStyle,
): WrittenNumber | undefined {
  if (tokens[at]?.kind !== 'word') return undefined;
  const match = words.fractions.match(tokens, at);
  if (match === undefined) return undefined;
  const next = at + match.length;
  const whole = (): WrittenNumber | undefined => {
    if (words.multipliers.match(tokens, next) !== undefined) return undefined;
    const number = digitsAt(tokens, next, style) ?? wordAt(tokens, next, words);
    return number !== undefined && number.value >= 1 ? number : undefined;
  };
  const added = (part: number, alone: number | undefined): WrittenNumber | undefined => {
    const number = whole();
    if (number !== undefined) return plain(number.value + part, match.length + number.length);
    return alone === undefined ? undefined : plain(alone, match.length);
  };
  switch (match.meaning) {
    case 'half':
      return plain(0.5, match.length);
    case 'quarter':
      return plain(0.25, match.length);
    case 'three-quarters':
      return plain(0.75, match.length);
    case 'one-and-half':
      return plain(1.5, match.length, { weak: words.weakNumbers.has(tokens[at]?.text ?? '') });
    case 'two-and-half':
      return plain(2.5, match.length);
    case 'plus-quarter':
      return added(0.25, 1.25);
    case 'plus-half':
      return added(0.5, undefined);
    case 'minus-quarter':
      return added(-0.25, 0.75);
    default:
      return match.meaning satisfies never;
  }
}

/** '… and a half', '… aur aadha': the part after a whole number, with the tokens it took. */
function halfAfter(
  tokens: readonly Token[],
  at: number,
  words: AnswerWords,
): { part: number; length: number } | undefined {
  const and = words.marks.match(tokens, at);
  if (and?.meaning !== 'and') return undefined;
  let next = at + and.length;
  if (tokens[next]?.text === 'a') next += 1;
  const fraction = words.fractions.match(tokens, next);
  const part = fraction?.meaning === 'half' ? 0.5 : fraction?.meaning === 'quarter' ? 0.25 : undefined;
  return fraction === undefined || part === undefined
    ? undefined
    : { part, length: next + fraction.length - at };
}

/** '… point two five': the digits after the point, with the tokens they took. */
function pointAfter(
  tokens: readonly Token[],
  at: number,
  words: AnswerWords,
): { digits: string; length: number } | undefined {
  const point = tokens[at]?.kind === 'word' ? words.marks.match(tokens, at) : undefined;
  if (point?.meaning !== 'point') return undefined;
  let next = at + point.length;
  const first = tokens[next];
  if (first?.kind === 'digits') return { digits: first.text, length: next + 1 - at };
  let digits = '';
  for (
    let word = wordAt(tokens, next, words);
    word !== undefined && digits.length < 3;
    word = wordAt(tokens, next, words)
  ) {
    if (word.value > 99) break;
    digits += String(word.value);
    next += word.length;
  }
  return digits === '' ? undefined : { digits, length: next - at };
}

function simpleAt(
  tokens: readonly Token[],
  at: number,
  words: AnswerWords,
  style: NumberStyle,
): WrittenNumber | undefined {
  const slash = style.decimals === true ? (slashAt(tokens, at) ?? pointFirstAt(tokens, at)) : undefined;
  if (slash !== undefined) return slash;
  const base =
    digitsAt(tokens, at, style) ?? fractionAt(tokens, at, words, style) ?? wordAt(tokens, at, words);
  if (base === undefined || !Number.isInteger(base.value) || style.decimals !== true) return base;
  const end = at + base.length;
  const mixed = base.digits !== null && tokens[end]?.kind === 'digits' ? slashAt(tokens, end) : undefined;
  if (mixed !== undefined) return plain(base.value + mixed.value, base.length + mixed.length);
  const half = halfAfter(tokens, end, words);
  if (half !== undefined) return plain(base.value + half.part, base.length + half.length);
  const point = pointAfter(tokens, end, words);
  if (point !== undefined) return plain(Number(`${base.value}.${point.digits}`), base.length + point.length);
  return base;
}

/** 'do so gram': 'so' is hundred before a unit of weight, and at the end of the text after kilos. */
function weakHundredAt(
  tokens: readonly Token[],
  at: number,
  words: AnswerWords,
): { readonly meaning: number; readonly length: number } | undefined {
  if (!words.weakHundreds.has(tokens[at]?.text ?? '')) return undefined;
  const unit = words.units.match(tokens, at + 1)?.meaning;
  const kilos = tokens.some((_, i) => i < at && words.units.match(tokens, i)?.meaning === 'kilogram');
  return unit === 'gram' || (tokens.length === at + 1 && kilos) ? { meaning: 100, length: 1 } : undefined;
}

/**
 * The number that begins at token `at`, in digits, words or both: '3.2', 'sadhe teen', 'do sau pachas', '2 hazar 9 sau',
 * 'twenty-five'. Undefined when none begins there. Never negative.
 */
export function numberAt(
  tokens: readonly Token[],
  at: number,
  words: AnswerWords,
  style: NumberStyle = {},
): WrittenNumber | undefined {
  const base = simpleAt(tokens, at, words, style);
  if (base === undefined) return undefined;
  let value = base.value;
  let length = base.length;
  let below = Number.POSITIVE_INFINITY;
  let multiplied = base.value === 100 && base.digits === null;
  if (multiplied) below = 100;
  const first = words.multipliers.match(tokens, at + length) ?? weakHundredAt(tokens, at + length, words);
  if (first !== undefined) {
    value = Math.round(value * first.meaning * 1000) / 1000;
    length += first.length;
    below = first.meaning;
    multiplied = true;
  }
  while (multiplied && below >= 100) {
    const and = words.marks.match(tokens, at + length);
    const gap = and?.meaning === 'and' ? and.length : 0;
    const more = simpleAt(tokens, at + length + gap, words, {});
    if (more === undefined || !Number.isInteger(more.value * 4)) break;
    const end = at + length + gap + more.length;
    const times = words.multipliers.match(tokens, end) ?? weakHundredAt(tokens, end, words);
    const amount = more.value * (times?.meaning ?? 1);
    if (amount >= below || amount < 1 || !Number.isInteger(amount)) break;
    value += amount;
    length += gap + more.length + (times?.length ?? 0);
    below = times?.meaning ?? 1;
  }
  return multiplied ? plain(value, length) : base;
}
