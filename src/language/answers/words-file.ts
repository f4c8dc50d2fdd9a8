import { z } from 'zod';

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

/** The shape of a language's `words.yaml`. */
export const wordsFile = z.strictObject({
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

/** One language's words, checked. */
export type WordsFile = z.infer<typeof wordsFile>;
