import type { CarrierFault } from '../channels/carrier.ts';
import type { OutboxMessage } from '../store/store.ts';
import type { Outcome, RhythmWish } from './line.ts';

/** Everything that can happen to a line. Ids and times are values: the turn reaches for neither. */
export type LineEvent =
  | { readonly kind: 'text'; readonly id: string; readonly phone: string; readonly body: string }
  | { readonly kind: 'call-rang'; readonly id: string; readonly phone: string }
  | {
      readonly kind: 'call-answered';
      readonly id: string;
      readonly phone: string;
      readonly callId: string;
      /** Our id of the call, when the line placed it. */
      readonly outboxId?: string;
      /** Told only where the carrier was asked to find out. */
      readonly answeredBy?: 'person' | 'machine';
    }
  | {
      readonly kind: 'keys';
      readonly id: string;
      readonly phone: string;
      readonly callId: string;
      readonly digits: string;
    }
  | {
      readonly kind: 'call-ended';
      readonly id: string;
      readonly phone: string;
      readonly callId: string;
      readonly status: string;
      readonly outboxId?: string;
    }
  | { readonly kind: 'due' }
  | {
      readonly kind: 'receipt';
      readonly id: string;
      readonly outboxId: string;
      readonly status: string;
      readonly errorCode: number | null;
      /** What the error number means. */
      readonly fault?: CarrierFault | null;
      /** It was given up because it may have gone out already. */
      readonly mayHaveBeenSent?: true;
      /** The message itself, where it is still kept. */
      readonly message?: OutboxMessage;
    }
  | {
      readonly kind: 'counsellor';
      readonly id: string;
      readonly by: string;
      readonly command: CounsellorCommand;
      /** A call answers with speech, and can connect her to the mother. Texts and the desk leave it out. */
      readonly channel?: 'call';
    }
  | {
      /** A counsellor asks a number whether she wants the line. */
      readonly kind: 'invite';
      readonly id: string;
      readonly phone: string;
      readonly by: string;
      readonly bornOn: string;
      readonly birthWeightGrams: number;
      readonly language: string;
    }
  | {
      /** A counsellor settles at the desk how a mother is written to. */
      readonly kind: 'rhythm';
      readonly id: string;
      readonly by: string;
      readonly mother: number;
      readonly wish: RhythmWish;
    }
  | {
      /** A counsellor writes down at the desk what she learned of the birth. */
      readonly kind: 'birth';
      readonly id: string;
      readonly by: string;
      readonly mother: number;
      /** Null: not known. */
      readonly firstBaby: boolean | null;
      /** Completed weeks of pregnancy, 22 to 44; null: not known. */
      readonly weeks: number | null;
    }
  | {
      /** The lead says in which area a mother lives; null: the programme's own. */
      readonly kind: 'place';
      readonly id: string;
      readonly by: string;
      readonly area: string | null;
    };

/** What a counsellor can do to an alert by text, keypad or at the desk. */
export type CounsellorCommand =
  | { readonly kind: 'acknowledge'; readonly code: string }
  | { readonly kind: 'resolve'; readonly code: string; readonly outcome: Outcome; readonly note: string }
  | { readonly kind: 'note'; readonly code: string; readonly note: string }
  /** What the mother last answered. */
  | { readonly kind: 'answers'; readonly code: string }
  /** A message to the mother through the line. */
  | { readonly kind: 'say'; readonly code: string; readonly words: string }
  /** To another counsellor, by id. */
  | { readonly kind: 'hand-over'; readonly code: string; readonly to: string }
  | { readonly kind: 'reopen'; readonly code: string }
  /** The line tried to connect her to the mother, in vain. */
  | { readonly kind: 'not-connected'; readonly code: string; readonly status: string };
