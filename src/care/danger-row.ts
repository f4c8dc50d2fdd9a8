import type { SignCode, SignDetail, Tier } from './signs.ts';

/** What the rule of one sign may know. Ages are in days since birth; an unknown age is read as the most dangerous one. */
export interface SignFacts {
  readonly ageDays: number;
  /** A baby under 2 months (0-59 days): the young infant of IMCI. */
  readonly youngInfant: boolean;
  readonly detail: SignDetail;
  /** Told at the same time: other signs of the same person. */
  readonly also: ReadonlySet<SignCode>;
  /** False when feeding is known to be poor. */
  readonly feedsWell: boolean | undefined;
}

/** One danger sign: how urgent, and who says so. `ages` is for reading: where the tier changes, in days. */
export interface DangerRow<Code extends SignCode> {
  readonly code: Code;
  readonly who: 'mother' | 'baby';
  readonly ages: readonly number[];
  readonly source: string;
  /** Never none: a told sign is always answered. */
  readonly tier: (facts: SignFacts) => Exclude<Tier, 'none'>;
}
