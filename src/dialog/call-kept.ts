/** A call that the line places to her, from the first ring until it is over for good. One at a time. */
export interface CallKept {
  /** `question`: to ask, in place of a text; `safety`: to say a safety text that did not reach her; `call-back`: she rang. */
  readonly why: 'question' | 'safety' | 'call-back';
  readonly mother: number;
  /** Turn of the line that placed it last: the call's id begins with it. */
  readonly turn: number;
  /** Epoch milliseconds at which it was placed last. */
  readonly placedAt: number;
  readonly tries: number;
  /** Times it was rung again because it broke off half-way. */
  readonly resumed: number;
  /** How its tries ended so far: one rang, or the carrier could place none. Absent: nobody told. */
  readonly ended?: 'rang' | 'failed';
  /** It ended; the next one is planned. */
  readonly isOver: boolean;
  /** The call that was answered, and how often it asked who is there. */
  readonly callId: string | null;
  readonly gates: number;
  /** She pressed the key that says that it is she: before, nothing of hers is said. */
  readonly confirmed: boolean;
  /** Said once it is she. */
  readonly says: readonly {
    readonly key: string;
    readonly values?: Readonly<Record<string, string | number>>;
  }[];
}

/** A safety text of which no receipt says yet that it arrived. */
export interface SafetyText {
  /** The message's id, without the line's. */
  readonly id: string;
  readonly mother: number;
  readonly says: CallKept['says'];
}

/** What the carrier told about her number. */
export interface NumberKept {
  readonly trouble: 'wrong-number' | 'landline' | 'opted-out' | 'unreachable';
  /** Calendar days on which texts could not be delivered, YYYY-MM-DD, since one last was. */
  readonly days: readonly string[];
  /** A person was told. */
  readonly told: boolean;
}
