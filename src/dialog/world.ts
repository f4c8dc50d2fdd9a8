import type { RotaPlan } from '../counsel/rota-plan.ts';
import type { Tip } from '../care/tips/index.ts';
import type { AnswerWords } from '../language/answers/index.ts';
import type { Calendar } from '../language/calendar.ts';
import type { DangerReading } from '../language/danger-reading.ts';
import type { CommandWords } from '../language/command-words.ts';
import type { MendWords } from '../language/mend-words.ts';
import type { Recordings } from '../language/recording.ts';
import type { Wording } from '../language/wording.ts';
import type { WordLists } from '../language/word-list.ts';
import type { Dialogs } from './dialog-steps.ts';
import type { FoodContent } from './food-content.ts';
import type { LanguageNames } from './language-names.ts';
import type { AnswerSteps } from './step-words.ts';

/** All that a turn may know besides the line and the event. Values only: the turn reaches for nothing. */
export interface World {
  /** Epoch milliseconds. */
  readonly now: number;
  /** Raised when a turn is run again because an alert's short code was taken. */
  readonly salt: number;
  readonly content: Content;
  readonly programme: Programme;
  /** The clock of the phone that the turn is about. */
  readonly calendar: Calendar;
  /** The programme's own clock, by which counsellors work; absent: the same. */
  readonly dutyCalendar?: Calendar;
  /** Counsellors who said that they are off duty, by id, with the instant until which, epoch milliseconds. */
  readonly away?: ReadonlyMap<string, number>;
}

/** Flows and words, read and compiled at start-up. */
export interface Content {
  readonly dialogs: Dialogs;
  readonly wording: Wording;
  readonly answerWords: AnswerWords;
  /** The danger signs told in a text, in every language at once. */
  readonly readDanger: (text: string) => DangerReading;
  readonly commandWords: CommandWords;
  readonly recordings: Recordings;
  readonly food: FoodContent;
  readonly answerSteps: AnswerSteps;
  /** The comma lists of the wording, of all languages together: people mix them. */
  readonly wordLists: WordLists;
  readonly mendWords: MendWords;
  /** The calendar of tips; the words of each are the text `tips.<id>`. */
  readonly tips: readonly Tip[];
  readonly languageNames: LanguageNames;
  /** Language codes in the order of the menu. */
  readonly languages: readonly string[];
}

/** What a programme sets for its own line. */
export interface Programme {
  readonly name: string;
  readonly timeZone: string;
  readonly emergencyNumber: string;
  readonly language: string;
  /** E.164 country calling region for numbers typed without a prefix, ISO 3166-1 alpha-2. */
  readonly counsellors: readonly Counsellor[];
  /** Names of all who were ever counsellors here, by id, for what they did then. */
  readonly formerly?: ReadonlyMap<string, string>;
  /** Who is on duty when. Without it everybody is, always. */
  readonly rota?: RotaPlan;
  /** Area of mothers whom nobody has placed in another. */
  readonly area?: string;
  /** Routine messages only between these minutes of the local day. */
  readonly quietUntilMinuteOfDay: number;
  readonly quietFromMinuteOfDay: number;
  /** Routine texts a day to one phone, at most. */
  readonly textsADay?: number;
  /** Days on which nothing routine goes out, YYYY-MM-DD. */
  readonly festivalDays?: ReadonlySet<string>;
  /** Time zones of numbers that begin so (`+44`); others are in the programme's. */
  readonly zones?: ReadonlyMap<string, string>;
  /** The carrier itself answers the stop word of its own list. */
  readonly carrierAnswersStop: boolean;
  /** What an alert's text to a counsellor tells; absent: all. */
  readonly alertTextDetail?: 'full' | 'code';
}

/** The first is on duty, then the next ones; the lead stands above all. */
export interface Counsellor {
  readonly id: string;
  readonly name: string;
  readonly phone: string;
  readonly language: string;
  /** Leads and clinical leads: alerts that nobody takes come to them. */
  readonly lead: boolean;
  readonly clinical?: boolean;
  /** All languages that she speaks, `language` among them; without it only that one. */
  readonly languages?: readonly string[];
  /** Areas whose mothers she sees, by name; without it all. */
  readonly area?: string | readonly string[];
}
