/** What a question expects, and what was read in the answer. Shared by the flows, the readers and the `read` command. */

export type Asked =
  | { readonly kind: 'count'; readonly min: number; readonly max: number }
  | { readonly kind: 'hours'; readonly min: number; readonly max: number }
  | { readonly kind: 'yes-no'; readonly unsure?: boolean }
  | {
      readonly kind: 'choice';
      readonly options: number;
      readonly words?: OptionWords | readonly (readonly string[])[];
    }
  | {
      readonly kind: 'choices';
      readonly options: number;
      readonly words?: OptionWords | readonly (readonly string[])[];
    }
  | { readonly kind: 'weight'; readonly minGrams: number; readonly maxGrams: number }
  | { readonly kind: 'date'; readonly past: boolean; readonly withinDays?: number }
  | { readonly kind: 'age' }
  | { readonly kind: 'temperature' }
  | { readonly kind: 'time-of-day' }
  | { readonly kind: 'words'; readonly maxLength: number };

/** The words of a choice's options, compiled: the options that a text names, from 1, rising. */
export interface OptionWords {
  named(text: string): readonly number[];
}

export interface Range {
  readonly min: number;
  readonly max: number;
}
export interface Age {
  readonly days?: number;
  readonly weeks?: number;
  readonly months?: number;
  readonly years?: number;
}

/**
 * A value by kind: count, hours: number or Range; yes-no: boolean or 'unsure'; choice: 1..options; choices: sorted numbers;
 * weight: grams; date: YYYY-MM-DD; age: Age; temperature: degrees Celsius; time-of-day: minutes after midnight; words: text.
 */
export type AnswerValue =
  | { readonly kind: 'count' | 'hours'; readonly value: number | Range }
  | { readonly kind: 'yes-no'; readonly value: boolean | 'unsure' }
  | { readonly kind: 'choice'; readonly value: number }
  | { readonly kind: 'choices'; readonly value: readonly number[] }
  | { readonly kind: 'weight'; readonly grams: number }
  | { readonly kind: 'date'; readonly date: string }
  | { readonly kind: 'age'; readonly age: Age }
  | { readonly kind: 'temperature'; readonly celsius: number }
  | { readonly kind: 'time-of-day'; readonly minuteOfDay: number }
  | { readonly kind: 'words'; readonly text: string };

/**
 * What came of reading one answer. `sure: false` is a doubtful reading: it must be asked back, never used as it is.
 * `inRange: false`: read, but outside what the question allows.
 */
export type Reading =
  | { readonly kind: 'read'; readonly answer: AnswerValue; readonly sure: boolean; readonly inRange: boolean }
  | { readonly kind: 'skipped' }
  | { readonly kind: 'unclear' };

/** What a reader may know besides the text. `today` is YYYY-MM-DD on her calendar. */
export interface ReadingContext {
  readonly today: string;
  readonly language?: string;
}

/** One field of a step, with the words that may label it in a text ("feeds 9 wet 6"). */
export interface AskedField {
  readonly field: string;
  readonly asked: Asked;
  readonly labels: readonly string[];
}

/** All that one text gave for the fields asked: by field name; a field not given is absent. `rest` is what was not used. */
export interface FieldsReading {
  readonly readings: Readonly<Record<string, Reading>>;
  readonly rest: string;
}
