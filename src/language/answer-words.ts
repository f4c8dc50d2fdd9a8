import { z } from 'zod';
import { ContentError } from '../errors.ts';
import { joinedWords } from './answers/joined-words.ts';
import { type Lexicon, lexicon } from './answers/lexicon.ts';
import { normalise } from './answers/normalise.ts';

const words = z.array(z.string().min(1)).default([]);
const byName = <const Names extends readonly string[]>(names: Names) =>
  z.strictObject(
    Object.fromEntries(names.map((n) => [n, words])) as { [Name in Names[number]]: typeof words },
  );

/** Quarters and halves of the trade. `plus-half` needs a number after it ('sadhe teen'); the others may stand alone. */
const fractionNames = [
  'half',
  'quarter',
  'three-quarters',
  'one-and-half',
  'two-and-half',
  'plus-quarter',
  'plus-half',
  'minus-quarter',
] as const;
const unitNames = [
  'kilogram',
  'gram',
  'pav',
  'pound',
  'ounce',
  'minute',
  'hour',
  'day',
  'week',
  'month',
  'year',
  'celsius',
  'fahrenheit',
  'degree',
] as const;
const dayNames = [
  'today',
  'yesterday',
  'tomorrow',
  'near',
  'next-to-near',
  'day-before-yesterday',
  'three-days-ago',
] as const;
const partNames = ['morning', 'noon', 'afternoon', 'evening', 'night', 'midnight', 'am', 'pm'] as const;
/** Small words that change how a number is read. */
const markNames = [
  'and',
  'point',
  'about',
  'times',
  'to',
  'or',
  'per-day',
  'every',
  'more',
  'less',
  'ago',
  'old',
  'last',
  'next',
  'day-of-month',
  'oclock',
  'past',
  'before-hour',
  'all',
  'but',
  'filler',
] as const;
const endingNames = ['hundred', 'times', 'ago'] as const;
const replyNames = ['yes', 'weak-yes', 'no', 'weak-no', 'unsure', 'all-well', 'skip'] as const;

export type FractionName = (typeof fractionNames)[number];
export type UnitName = (typeof unitNames)[number];
export type DayName = (typeof dayNames)[number];
export type PartName = (typeof partNames)[number];
export type MarkName = (typeof markNames)[number];
export type ReplyName = (typeof replyNames)[number];

const numbered = (least: number, most: number) =>
  z
    .record(z.string().regex(/^\d+$/u), words)
    .default({})
    .refine((record) => Object.keys(record).every((k) => Number(k) >= least && Number(k) <= most), {
      message: `keys must be whole numbers from ${least} to ${most}`,
    });

/** A language may leave a group out. */
const none = {};

const wordsFile = z.strictObject({
  'reviewed-by': z.string().nullable().optional(),
  numbers: numbered(0, 100),
  /** Number words that are also common words of another meaning: not counted beside digits. */
  'weak-numbers': words,
  ordinals: numbered(1, 31),
  /** 'a', 'an': one, before a unit. */
  articles: words,
  hundred: words,
  /** Spellings of hundred that are also other words: only before a unit of weight or at the end of the text. */
  'weak-hundred': words,
  thousand: words,
  dozen: words,
  /** Endings that are written on to a word: 'donshe' two hundred, 'charda' four times, 'divsapurvi' days ago. */
  endings: byName(endingNames).prefault(none),
  fractions: byName(fractionNames).prefault(none),
  units: byName(unitNames).prefault(none),
  months: numbered(1, 12),
  weekdays: numbered(0, 6),
  days: byName(dayNames).prefault(none),
  'day-parts': byName(partNames).prefault(none),
  marks: byName(markNames).prefault(none),
  replies: byName(replyNames).prefault(none),
  none: words,
});

/** What the words of all languages mean, ready to be matched. Made once, at the start, by `compileAnswerWords`. */
export interface AnswerWords {
  readonly numbers: Lexicon<number>;
  readonly weakNumbers: ReadonlySet<string>;
  readonly ordinals: Lexicon<number>;
  readonly multipliers: Lexicon<number>;
  readonly fractions: Lexicon<FractionName>;
  readonly units: Lexicon<UnitName>;
  readonly months: Lexicon<number>;
  /** 0 is Sunday. */
  readonly weekdays: Lexicon<number>;
  readonly days: Lexicon<DayName>;
  readonly parts: Lexicon<PartName>;
  readonly marks: Lexicon<MarkName>;
  readonly replies: Lexicon<ReplyName>;
  /** Words that say none, zero, nothing: some of them are also a plain no. */
  readonly none: Lexicon<'none'>;
  readonly weakHundreds: ReadonlySet<string>;
  readonly articles: ReadonlySet<string>;
  /** Tens that take a unit after them: 'twenty' 'one'. */
  readonly tens: ReadonlySet<string>;
  /** Number words written as one, with their parts: 'sadeteen' is 'sade' and 'teen'. */
  readonly joined: ReadonlyMap<string, readonly string[]>;
}

/** One language's words, checked. */
export type WordsFile = z.infer<typeof wordsFile>;

/** One language's `words.yaml`, as parsed. */
export interface AnswerWordsFile {
  readonly language: string;
  readonly data: unknown;
  readonly file: string;
}

/**
 * Makes the reading tables from the `words.yaml` of every language. Pure.
 * @throws ContentError with every problem: file, place and what is wrong
 */
export function compileAnswerWords(files: readonly AnswerWordsFile[]): AnswerWords {
  const problems: string[] = [];
  const parsed: WordsFile[] = [];
  for (const { file, data } of files) {
    const result = wordsFile.safeParse(data);
    if (result.success) parsed.push(result.data);
    else
      problems.push(
        ...result.error.issues.map((issue) => `${file}, ${issue.path.join('.')}: ${issue.message}`),
      );
  }
  if (problems.length > 0) throw new ContentError(problems);
  const numeric = (pick: (file: WordsFile) => Readonly<Record<string, readonly string[]>>) =>
    parsed.flatMap((file) =>
      Object.entries(pick(file)).flatMap(([value, list]) =>
        list.map((word) => [word, Number(value)] as const),
      ),
    );
  const named = <Name extends string>(pick: (file: WordsFile) => Readonly<Record<Name, readonly string[]>>) =>
    parsed.flatMap((file) =>
      (Object.entries(pick(file)) as [Name, readonly string[]][]).flatMap(([name, list]) =>
        list.map((word) => [word, name] as const),
      ),
    );
  const multiplied = (pick: (file: WordsFile) => readonly string[], value: number) =>
    parsed.flatMap((file) => pick(file).map((word) => [word, value] as const));
  return {
    numbers: lexicon(
      numeric((f) => f.numbers),
      { typos: true },
    ),
    weakNumbers: new Set(parsed.flatMap((f) => f['weak-numbers'].map(normalise))),
    ordinals: lexicon(
      numeric((f) => f.ordinals),
      { typos: true },
    ),
    multipliers: lexicon([
      ...multiplied((f) => f.hundred, 100),
      ...multiplied((f) => f.thousand, 1000),
      ...multiplied((f) => f.dozen, 12),
    ]),
    fractions: lexicon(named<FractionName>((f) => f.fractions)),
    units: lexicon(
      named<UnitName>((f) => f.units),
      { typos: true },
    ),
    months: lexicon(
      numeric((f) => f.months),
      { typos: true },
    ),
    weekdays: lexicon(
      numeric((f) => f.weekdays),
      { typos: true },
    ),
    days: lexicon(named<DayName>((f) => f.days)),
    parts: lexicon(named<PartName>((f) => f['day-parts'])),
    marks: lexicon(named<MarkName>((f) => f.marks)),
    replies: lexicon(named<ReplyName>((f) => f.replies)),
    none: lexicon(parsed.flatMap((file) => file.none.map((word) => [word, 'none'] as const))),
    tens: new Set(
      parsed
        .filter((file) => file.numbers['21'] === undefined)
        .flatMap((file) => [20, 30, 40, 50, 60, 70, 80, 90].flatMap((ten) => file.numbers[String(ten)] ?? []))
        .map(normalise),
    ),
    weakHundreds: new Set(parsed.flatMap((f) => f['weak-hundred'].map(normalise))),
    articles: new Set(parsed.flatMap((f) => f.articles.map(normalise))),
    joined: joinedWords(parsed),
  };
}
