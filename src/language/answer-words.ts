import { ContentError } from '../errors.ts';
import { joinedWords } from './answers/joined-words.ts';
import { type Lexicon, lexicon } from './answers/lexicon.ts';
import { normalise } from './answers/normalise.ts';
import {
  wordsFile,
  type FractionName,
  type UnitName,
  type DayName,
  type PartName,
  type MarkName,
  type ReplyName,
  type WordsFile,
} from './answers/words-file.ts';

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
