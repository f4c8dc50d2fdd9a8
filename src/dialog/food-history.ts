import { type DietHistory, dietHistory } from '../care/diet/diet-history.ts';
import type { DietRecall } from '../care/diet/recall.ts';
import { foodOf, herFood } from './food-of-her.ts';
import type { Mother } from './line.ts';

/** Her food as a counsellor looks at it. Empty for a mother who was never asked. */
export interface FoodHistory extends DietHistory {
  /** Meals, water, salt, sun, tablets and what she keeps away from because of the baby, by day, newest last. */
  readonly recalls: readonly DietRecall[];
  /** Foods that nothing offered to her may hold. */
  readonly avoids: readonly string[];
}

/** Groups by day, gaps, dishes offered and cooked. It judges nothing. */
export function foodHistory(mother: Mother): FoodHistory {
  const { recalls, offers, avoids } = foodOf(mother);
  return { ...dietHistory(recalls, offers, herFood(mother)), recalls, avoids };
}
