import type { Customs } from '../care/diet/customs.ts';
import type { Dishes } from '../care/diet/dishes.ts';
import type { Foods } from '../care/diet/foods.ts';
import type { Requirements } from '../care/diet/requirement.ts';
import type { NamesReader } from '../language/food-names.ts';

/** Foods, dishes and customs, read and compiled at start-up; their words are in the wording. */
export interface FoodContent {
  readonly foods: Foods;
  readonly dishes: Dishes;
  readonly customs: Customs;
  readonly requirements: Requirements;
  /** Finds foods in a text, in all languages at once. */
  readonly readFoods: NamesReader;
  /** Finds the powders, foods and customs that mothers ask about. */
  readonly readCustoms: NamesReader;
}
