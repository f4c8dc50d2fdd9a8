import type { Allergen } from '../diet/foods.ts';
import type { HerFood } from '../diet/her-food.ts';
import type { TipConcern } from './tip-concern.ts';

/** What the tips are about, in the order in which a counsellor would go through them. */
export const tipTopics = [
  'first-milk',
  'latch',
  'draining',
  'night-feeds',
  'growth-spurts',
  'nappies-and-weight',
  'newborn-care',
  'danger-signs',
  'safety',
  'sore-nipples',
  'fullness',
  'rest',
  'mothers-health',
  'mothers-plate',
  'water',
  'iron-calcium',
  'salt',
  'sun',
  'myths',
  'only-milk',
  'expressing',
  'work',
  'immunisation',
  'first-foods',
  'meals',
  'responsive-feeding',
  'clean-food',
  'feeding-when-ill',
  'continued-feeding',
  'play',
] as const;
export type TipTopic = (typeof tipTopics)[number];

/**
 * For whom a tip is meant. A condition that is absent does not narrow; all that are there must hold. What is not known of her
 * fulfils no condition but `preterm: false`, since most babies are born at term.
 */
export interface TipConditions {
  readonly eats?: readonly HerFood['eats'][] | undefined;
  /** BCP 47 codes of the languages of the line. */
  readonly languages?: readonly string[] | undefined;
  readonly twins?: boolean | undefined;
  /** Born before 37 completed weeks. */
  readonly preterm?: boolean | undefined;
  readonly firstBaby?: boolean | undefined;
  /** Months of the year on her calendar, 1 to 12: the season. */
  readonly months?: readonly number[] | undefined;
  /** Told only after one of these concerns. */
  readonly concerns?: readonly TipConcern[] | undefined;
  /** Never told while one of these is recent. */
  readonly unless?: readonly TipConcern[] | undefined;
}

/** One tip of the calendar. Its words are the text `tips.<id>` of each language. */
export interface Tip {
  readonly id: string;
  readonly topic: TipTopic;
  /** First age in whole days at which it fits, 0 to 729. */
  readonly fromDays: number;
  /** First age in whole days at which it fits no more: later it is never told. 1 to 730. */
  readonly untilDays: number;
  /** 1 matters most, 5 least. */
  readonly priority: number;
  readonly when: TipConditions;
  /** Concerns that bring a tip for everybody forward. */
  readonly firstAfter: readonly TipConcern[];
  /** Foods named in it that somebody may be allergic to: not told to a mother who keeps away from one. */
  readonly allergens: readonly Allergen[];
  /** The publication, its year and place in it; 'common practice, no source'; or marked 'from memory'. */
  readonly source: string;
}

/** What is known of a mother when a tip is chosen. */
export interface TipFacts {
  /** Age of the youngest baby in whole days, 0 on the day of birth. */
  readonly ageDays: number;
  readonly babies: number;
  /** Completed weeks of pregnancy at birth; null: not known. */
  readonly gestationWeeks: number | null;
  /** Null: not known. */
  readonly firstBaby: boolean | null;
  readonly eats: HerFood['eats'];
  readonly allergies: readonly Allergen[];
  /** Told or found in the last days. The order does not matter. */
  readonly concerns: readonly TipConcern[];
  /** Month on her calendar, 1 to 12. */
  readonly month: number;
  /** BCP 47 code of the language she is written to in. */
  readonly language: string;
}
