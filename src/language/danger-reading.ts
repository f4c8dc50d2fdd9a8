import type { SignCode, SignDetail } from '../care/signs.ts';

/** A danger sign found in free text. `sure: false` asks the confirming question; it is never dropped in silence. */
export interface SignReading {
  readonly code: SignCode;
  readonly who: 'mother' | 'baby';
  readonly sure: boolean;
  /** The words that matched, as she wrote them (normalised spacing only). */
  readonly matched: string;
  readonly detail: SignDetail;
}

/**
 * All that a text says of danger. `worried` is true when the text sounds worried or ill but matched no sign: it goes to
 * the counsellor as a tier C concern.
 */
export interface DangerReading {
  readonly signs: readonly SignReading[];
  readonly worried: boolean;
}
