/**
 * The carrier port: send a text, place a call, hang up. Deliberately not here: HTTP, signatures of webhooks (each carrier's
 * webhook reader turns a request into an `Inbound`), retries and ordering (the outbox does those).
 *
 * @throws CarrierRefused when the carrier said no
 * @throws CarrierUnreachable when it gave no answer
 */
export interface Carrier {
  readonly name: string;
  sendText(message: OutgoingText): Promise<{ readonly carrierId: string }>;
  /** Rings the number; when it is answered the carrier asks our voice webhook what to say. */
  placeCall(call: OutgoingCall): Promise<{ readonly carrierId: string }>;
}

/**
 * Why the carrier could not bring a message to its receiver, in words of ours. Each carrier's own numbers are translated in its
 * folder. `busy`: too much at once; `passing`: its own trouble; `unreachable`: handset off or without signal; `refused`: the
 * same message would be refused again; `set-up`: the account is not in order, no fault of the number.
 */
export const carrierFaults = [
  'busy',
  'passing',
  'unreachable',
  'wrong-number',
  'landline',
  'opted-out',
  'refused',
  'too-late',
  'set-up',
  'unknown',
] as const;
export type CarrierFault = (typeof carrierFaults)[number];

export interface OutgoingText {
  /** Our own id; comes back in the receipt's address. */
  readonly id: string;
  readonly to: string;
  readonly body: string;
  /** Seconds after which the carrier should not deliver any more, 60 to 36000. */
  readonly validForSeconds?: number;
}

export interface OutgoingCall {
  readonly id: string;
  readonly to: string;
}

/** What the carrier told us, once its signature is proved. Numbers are E.164; a withheld number is undefined. */
export type Inbound =
  | {
      readonly kind: 'text';
      readonly id: string;
      readonly from: string | undefined;
      readonly to: string;
      readonly body: string;
    }
  | {
      readonly kind: 'call-rang';
      readonly id: string;
      readonly from: string | undefined;
      readonly to: string;
    }
  | {
      readonly kind: 'call-answered';
      readonly id: string;
      readonly callId: string;
      readonly party: string | undefined;
      readonly outboxId: string | undefined;
      /** Told only where the carrier was asked to find out. */
      readonly answeredBy?: 'person' | 'machine';
    }
  | {
      readonly kind: 'keys';
      readonly id: string;
      readonly callId: string;
      readonly party: string | undefined;
      readonly digits: string;
      /** Our id of the call, when the line placed it. */
      readonly outboxId?: string | undefined;
    }
  | {
      /** A call that was to be connected to another number is over, or never came about. */
      readonly kind: 'connect-ended';
      readonly id: string;
      readonly callId: string;
      readonly party: string | undefined;
      readonly outboxId: string | undefined;
      /** True when the other side answered. */
      readonly answered: boolean;
      readonly status: string;
    }
  | {
      readonly kind: 'call-ended';
      readonly id: string;
      readonly callId: string;
      readonly party: string | undefined;
      readonly status: string;
      readonly outboxId: string | undefined;
    }
  | {
      readonly kind: 'receipt';
      readonly id: string;
      readonly outboxId: string;
      readonly carrierId: string;
      readonly status: string;
      readonly errorCode: number | undefined;
      /** What the error number means; absent without one. */
      readonly fault?: CarrierFault;
    };

/** A piece of what a call says: words for the carrier's voice, or a recording by its path under `recordings/`. */
export type Spoken =
  | { readonly kind: 'words'; readonly text: string }
  | { readonly kind: 'recording'; readonly file: string };

/** What to answer a webhook with, before it is put in the carrier's own form. */
export type Reply =
  | { readonly kind: 'nothing' }
  /** `receiptId`: what its receipts shall name it by, where they are wanted. */
  | { readonly kind: 'text'; readonly body: string; readonly receiptId?: string }
  /** Turn the call away, unanswered and unbilled. */
  | { readonly kind: 'busy' }
  /** Say the words, then wait for keys; `digits` is how many keys end the answer, or 'hash' for any number ended with #. */
  | {
      readonly kind: 'ask';
      readonly say: string;
      readonly pieces?: readonly Spoken[];
      readonly language: string;
      readonly digits: number | 'hash';
      /** The keys answer what this very call tells of: its id goes with them. */
      readonly bound?: boolean;
    }
  | {
      readonly kind: 'say-and-end';
      readonly say: string;
      readonly pieces?: readonly Spoken[];
      readonly language: string;
    }
  /** Say the words, then connect the call to the number; neither side is shown the other's number, only the line's. */
  | {
      readonly kind: 'connect';
      readonly say: string;
      readonly pieces?: readonly Spoken[];
      readonly language: string;
      readonly to: string;
    };
