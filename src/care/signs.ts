/** The danger-sign codes of the line, for a baby and for a mother after birth. */

export const babySignCodes = [
  'not-feeding',
  'convulsion',
  'fast-breathing',
  'chest-indrawing',
  'lethargy',
  'fever',
  'cold',
  'jaundice',
  'cord-skin-infection',
  'blood-in-stool',
  'dehydration',
  'persistent-vomiting',
  'no-urine',
  'faint',
  'stiff-neck-soft-spot',
  'rash-with-fever',
  'eye-infection',
  'newborn-bleeding',
  'swollen-belly',
  'pale-stools',
] as const;

export const motherSignCodes = [
  'bleeding',
  'headache-vision',
  'maternal-convulsion',
  'maternal-fever',
  'breathless',
  'abdominal-pain',
  'foul-discharge',
  'breast-red-fever',
  'leg-swelling',
  'chest-pain',
  'wound',
  'self-harm',
  'harm-baby',
  'faint',
] as const;

export type BabySignCode = (typeof babySignCodes)[number];
export type MotherSignCode = (typeof motherSignCodes)[number];
export type SignCode = BabySignCode | MotherSignCode;
export type Tier = 'A' | 'B' | 'C' | 'none';

/**
 * What was told about one sign beyond its bare code. Every field is optional: unknown is unknown.
 * `severe` and `mild` are her words for it; `milder` signs of the reference's two-tier rows use `mild: true`
 * (a pad every 1-2 hours; dizzy but did not faint; feeding less but still feeding).
 */
export interface SignDetail {
  readonly temperatureC?: number;
  readonly breathsPerMinute?: number;
  readonly hours?: number;
  readonly severe?: boolean;
  readonly mild?: boolean;
  /** Where yellow or red was seen: for jaundice. */
  readonly palmsOrSoles?: boolean;
}

/** A sign as read or ticked, with whose it is. `faint` exists for both. */
export interface Sign {
  readonly code: SignCode;
  readonly who: 'mother' | 'baby';
  readonly detail?: SignDetail;
}
