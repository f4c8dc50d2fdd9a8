import type { Sign, Tier } from '../care/signs.ts';
import type { CallKept, NumberKept, SafetyText } from './call-kept.ts';
import type { Carried } from './carried.ts';
import type { DeliveryTally } from './delivery-tally.ts';
import type { FoodKept } from './food-kept.ts';

/** A line is one phone number; its id is a keyed hash of the number. Up to four mothers share it. */
export type LineId = string & { readonly __lineId: unique symbol };

export const maxMothersOnLine = 4;

/** What is kept of a line between turns. Saved as JSON; `schema` is raised with a migration when the shape changes. */
export interface LineState {
  readonly schema: 1;
  readonly phone: string;
  readonly language: string;
  /** `guest`: no consent; kept only because a danger was told. */
  readonly standing: 'guest' | 'enrolled' | 'stopped';
  readonly consent: { readonly at: number; readonly words: string; readonly channel: 'text' | 'call' } | null;
  readonly mothers: readonly Mother[];
  /** Index in `mothers` of who is in the dialog now. */
  readonly writing: number;
  /** Where the dialog stands: the saved snapshot of the machine. Null: nothing is being asked. */
  readonly dialog: SavedDialog | null;
  /** Danger told but not yet confirmed. Silence raises it. */
  readonly unconfirmed: UnconfirmedDanger | null;
  readonly alerts: readonly Alert[];
  readonly dues: readonly Due[];
  /** What she was last told, for "repeat". */
  readonly lastSaid: readonly Say[];
  /** A counsellor asked whether she wants the line; she has not agreed. Gone when it ends or she joins. */
  readonly invitation?: Invitation | null;
  /** Area of the programme, as a counsellor or the lead set it; absent: the programme's own. */
  readonly area?: string;
  /** Id of the alert that "did you reach care?" was last asked about. */
  readonly followUpOf?: string;
  /** IANA time zone of this phone, where a counsellor set one; absent: what the programme says of its number. */
  readonly zone?: string;
  /** They want no tips on this phone. */
  readonly noTips?: boolean;
  /** What one of several mothers wishes, until she has said which of them she is. */
  readonly wish?: RhythmWish | null;
  /** When the last routine texts went out that she had not asked for, epoch milliseconds; those of the last two days. */
  readonly unasked?: readonly number[];
  /** A correction of which she is asked which answer it is about. */
  readonly mending?: { readonly now: number; readonly old: number | null } | null;
  /** The latest check-in questions and tips, until word comes of how they fared. */
  readonly routineSent?: readonly RoutineSent[];
  /** How far our latest messages came, so that repeated, late and shuffled receipts change nothing. */
  readonly carried?: readonly Carried[];
  readonly delivery?: DeliveryTally;
  /** The call that the line is placing to her. */
  readonly calling?: CallKept | null;
  readonly safetyText?: SafetyText | null;
  /** What the carrier last told about her number; null: it is reached. */
  readonly number?: NumberKept | null;
  /** Turns counted, for ids that are the same when the turn is run again. */
  readonly turns: number;
}

/** What a counsellor keyed in for a mother who has not agreed yet. */
export interface Invitation {
  readonly by: string;
  readonly untilAt: number;
  /** Calendar day of birth, YYYY-MM-DD. */
  readonly bornOn: string;
  readonly birthWeightGrams: number;
}

export interface Mother {
  readonly name: string | null;
  readonly enrolledAt: number;
  readonly babies: readonly Baby[];
  readonly eats: 'veg' | 'egg' | 'all';
  /** Absent or null: not known. */
  readonly firstBaby?: boolean | null;
  /** Minutes after midnight on her clock. */
  readonly checkInMinuteOfDay: number;
  /** Newest last; the latest 30 only, older ones are in the journal. */
  readonly checkIns: readonly CheckIn[];
  /** Check-ins asked in a row without an answer. */
  readonly missed: number;
  /** Age of her babies in days when a weight was last asked for. */
  readonly weighingAskedAtDays: number | null;
  /** Ages in days at which the mood questions were answered. */
  readonly talkedAtDays: readonly number[];
  /** She is asked by call and not by text. */
  readonly askedBy?: 'text' | 'call';
  /** What she eats and cooks; absent until she is first asked. */
  readonly food?: FoodKept;
  /** Her calendar day on which we last asked her the check-in, YYYY-MM-DD. */
  readonly askedOn?: string;
  /** The day of `askedOn` whose question did not reach her: its silence is not hers. */
  readonly notReachedOn?: string | null;
  /** The day of `askedOn` of which the latest silence was counted in `missed`. */
  readonly silentOn?: string | null;
  /** She asked for a rest from check-ins and tips; absent or null: none. Dangers, alerts and follow-ups go on. */
  readonly paused?: Pause | null;
  /** Tips of the calendar that she was told and whose time is not over, by id. */
  readonly tipsTold?: readonly string[];
  /** After a death the line asks and tells her nothing more by itself. */
  readonly leftInPeace?: boolean;
}

/** A check-in question of a day or a tip, by the id of its message without the line's. `lost`: it did not reach her. */
export type RoutineSent = { readonly id: string; readonly mother: number; readonly lost?: true } & (
  | { readonly askedOn: string }
  | { readonly tip: string }
);

/** A rest that she, or a counsellor for her, asked for. */
export interface Pause {
  readonly at: number;
  /** Her calendar day on which she is asked again, YYYY-MM-DD; null: when she says so. */
  readonly untilDay: string | null;
}

/** What can be wished of the rhythm in which we write. */
export type RhythmWish =
  /** Minutes after midnight on her clock. */
  | { readonly kind: 'hour'; readonly minuteOfDay: number }
  /** Days without check-ins and tips; null: until she says so. */
  | { readonly kind: 'rest'; readonly days: number | null }
  | { readonly kind: 'resume' }
  | { readonly kind: 'tips'; readonly wanted: boolean }
  /** To be asked by call or by text. */
  | { readonly kind: 'way'; readonly by: 'call' | 'text' }
  /** IANA time zone of the phone. */
  | { readonly kind: 'zone'; readonly zone: string };

export interface Baby {
  readonly name: string | null;
  /** Calendar day of birth, YYYY-MM-DD, on her clock. */
  readonly bornOn: string;
  readonly sex: 'girl' | 'boy' | null;
  readonly birthWeightGrams: number | null;
  readonly gestationWeeks: number | null;
  readonly weights: readonly Weight[];
}

export interface Weight {
  readonly day: string;
  readonly grams: number;
  readonly where: 'clinic' | 'home' | 'other' | null;
  /** True when she confirmed an unlikely weight: kept, shown, never used in a computation. */
  readonly doubtful: boolean;
}

/** One day's answers, by field; per-baby fields carry `#` and the baby's index: `wet#1`. Null: asked, left open. */
export interface CheckIn {
  readonly day: string;
  readonly at: number;
  readonly answers: Answers;
}

export type AnswerScalar = number | string | boolean | null;
export type Answers = Readonly<Record<string, AnswerScalar>>;

/** The machine's snapshot, small, with the version of the flows that made it. */
export interface SavedDialog {
  readonly flows: string;
  readonly value: unknown;
  readonly context: unknown;
  readonly history: Readonly<Record<string, readonly string[]>>;
  readonly touchedAt: number;
}

export interface UnconfirmedDanger {
  readonly signs: readonly Sign[];
  readonly words: string;
  readonly askedAt: number;
}

export const outcomes = [
  'reached-care',
  'managed-by-phone',
  'home-visit',
  'no-danger-found',
  'could-not-reach',
  'died',
  'other',
] as const;
export type Outcome = (typeof outcomes)[number];

/** A concern that a person must answer. Only a person closes it. */
export interface Alert {
  readonly id: string;
  /** Four digits, unique among open alerts: what a counsellor types. */
  readonly code: string;
  readonly tier: Exclude<Tier, 'none'>;
  readonly mother: number;
  readonly signs: readonly Sign[];
  /** Reason codes of the care rules where it came from answers, not words. */
  readonly reasons: readonly string[];
  readonly words: string;
  readonly confirmed: boolean;
  readonly raisedAt: number;
  readonly stage: 'raised' | 'notified' | 'acknowledged' | 'resolved';
  readonly acknowledgedBy: string | null;
  readonly outcome: Outcome | null;
  readonly steps: readonly AlertStep[];
  /** How far up the rota it has climbed. */
  readonly climbed: number;
  /** The counsellor to whom it was handed and who has not taken it yet. */
  readonly offeredTo?: string | null;
  /** Epoch milliseconds from which climbing counts, where that is later than `raisedAt`. */
  readonly climbsFromAt?: number;
  /** The line's turn in which somebody was last told of it. */
  readonly toldInTurn?: number;
  /** Times "did you reach care?" was asked since it was raised or reopened. */
  readonly followUpsAsked?: number;
}

export interface AlertStep {
  readonly at: number;
  readonly what:
    | 'raised'
    | 'joined'
    | 'notified'
    | 'acknowledged'
    | 'note'
    | 'resolved'
    | 'reopened'
    | 'handed-over'
    | 'followed-up';
  readonly by: string;
  readonly note?: string;
}

/** Something that falls due. Fired as an event; the earliest is the line's due time in the store. */
export type Due =
  | RoutineDue
  | { readonly kind: 'idle'; readonly at: number }
  | { readonly kind: 'danger-unanswered'; readonly at: number }
  | { readonly kind: 'climb'; readonly at: number; readonly alertId: string }
  | { readonly kind: 'follow-up'; readonly at: number; readonly alertId: string }
  | { readonly kind: 'invitation-ends'; readonly at: number }
  /** No receipt came for a safety text. */
  | { readonly kind: 'not-delivered'; readonly at: number }
  /** She is rung again. */
  | { readonly kind: 'call-again'; readonly at: number };

/**
 * Routine: it can wait its turn. `at` is when it is planned with all else of the phone in view; `wantedAt` when it would be alone;
 * absent in older states, where both were one.
 */
export interface RoutineDue {
  readonly kind: 'check-in' | 'diet' | 'tip';
  readonly at: number;
  readonly mother: number;
  readonly wantedAt?: number;
}

/** Something to tell, by the name of its text and what goes into it. Values are already in her words. */
export interface Say {
  readonly key: string;
  readonly values?: Readonly<Record<string, string | number>>;
}

/** A number of which nothing is kept yet. */
export function newLine(phone: string, language: string): LineState {
  return {
    schema: 1,
    phone,
    language,
    standing: 'guest',
    consent: null,
    mothers: [],
    writing: 0,
    dialog: null,
    unconfirmed: null,
    alerts: [],
    dues: [],
    lastSaid: [],
    turns: 0,
  };
}
