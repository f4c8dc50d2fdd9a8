import type { DishOffer } from '../care/diet/diet-history.ts';
import type { FoodGroup } from '../care/diet/food-groups.ts';
import type { Allergen } from '../care/diet/foods.ts';
import type { DietRecall } from '../care/diet/recall.ts';

/** What is kept of a mother's food. A line saved before it was asked has none of it. */
export interface FoodKept {
  /** Newest last; the latest 30. */
  readonly recalls: readonly DietRecall[];
  /** Days on which she was last asked what she eats, YYYY-MM-DD; the latest two. */
  readonly askedOn: readonly string[];
  /** Groups of which a small step was suggested, newest last; the latest three. */
  readonly suggested: readonly FoodGroup[];
  /** Foods that she said she keeps away from. */
  readonly avoids: readonly string[];
  readonly allergies: readonly Allergen[];
  /** Newest last; the latest 30. */
  readonly offers: readonly DishOffer[];
  readonly cooking: Cooking | null;
}

/** The dishes that she may choose from, and how far the one she chose is told. */
export interface Cooking {
  readonly day: string;
  /** Foods in the house as she told them. */
  readonly kitchen: readonly string[];
  /** Foods in the list that were read past a mistyping. */
  readonly unsure: readonly string[];
  readonly dishes: readonly KeptDish[];
  /** Place in `dishes` of the one she chose. */
  readonly chosen: number | null;
  /** Place of the message that she is at, from 0. */
  readonly at: number;
}

/** A dish as she would make it: the food in each of its places, and what she may add. */
export interface KeptDish {
  readonly dish: string;
  readonly foods: readonly string[];
  readonly added: readonly string[];
  /** The one food of it that is not in the house, if any. */
  readonly missing: string | null;
}

/** Nothing kept yet. */
export const nothingKept: FoodKept = {
  recalls: [],
  askedOn: [],
  suggested: [],
  avoids: [],
  allergies: [],
  offers: [],
  cooking: null,
};
