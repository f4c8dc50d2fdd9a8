import type { AnswerScalar, Answers, Mother } from './line.ts';

/** One run through a flow: what was answered so far and how the current step goes. Part of the saved snapshot: keep it small. */
export interface Run {
  readonly answers: Answers;
  /** Unclear answers at the current step. */
  readonly attempts: number;
  readonly baby: number;
  /** Steps behind us, for "back". */
  readonly trail: readonly string[];
  readonly doubt: Doubt | null;
  /** Fields that stayed unclear. */
  readonly open: readonly string[];
}

/** A doubtful reading that is being asked back. `field` is the answer's key. */
export interface Doubt {
  readonly field: string;
  readonly value: AnswerScalar;
}

/** The machine's context: the flow she is in, and the aside on top of it. */
export interface DialogContext {
  readonly talk: Run;
  readonly aside: Run;
}

export const freshRun: Run = { answers: {}, attempts: 0, baby: 0, trail: [], doubt: null, open: [] };

/** What guards may look at besides the answers. Goes in with each event and is never saved. */
export interface Facts {
  readonly mother: Mother | undefined;
  readonly languageCount: number;
  /** Her word for joining was of another language than the programme's own. */
  readonly languageKnown: boolean;
  readonly motherCount: number;
  readonly weighingDue: boolean;
  readonly talkDue: boolean;
  /** She is on the phone, not texting. */
  readonly onCall?: boolean;
}

/** Everything the machine reacts to. */
export type DialogEvent =
  | {
      readonly type: 'ANSWER';
      /** By answer key. Null: she skipped it. */
      readonly read: Answers;
      readonly doubt: Doubt | null;
      readonly facts: Facts;
    }
  | { readonly type: 'BACK' | 'ASK' | 'LEAVE' | 'STOP' | 'RETURN'; readonly facts: Facts }
  | { readonly type: `OPEN.${string}`; readonly facts: Facts };
