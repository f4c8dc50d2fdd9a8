import type { Outcome } from './line.ts';

/** Everything that can happen to a line. Ids and times are values: the turn reaches for neither. */
export type LineEvent =
  | { readonly kind: 'text'; readonly id: string; readonly phone: string; readonly body: string }
  | { readonly kind: 'call-rang'; readonly id: string; readonly phone: string }
  | { readonly kind: 'call-answered'; readonly id: string; readonly phone: string; readonly callId: string }
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
    }
  | { readonly kind: 'due' }
  | {
      readonly kind: 'receipt';
      readonly id: string;
      readonly outboxId: string;
      readonly status: string;
      readonly errorCode: number | null;
    }
  | {
      readonly kind: 'counsellor';
      readonly id: string;
      readonly by: string;
      readonly command: CounsellorCommand;
    };

/** What a counsellor can do to an alert by text, keypad or at the desk. */
export type CounsellorCommand =
  | { readonly kind: 'acknowledge'; readonly code: string }
  | { readonly kind: 'resolve'; readonly code: string; readonly outcome: Outcome; readonly note: string }
  | { readonly kind: 'note'; readonly code: string; readonly note: string };
