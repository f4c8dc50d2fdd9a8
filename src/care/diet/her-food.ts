import type { Allergen, Food } from './foods.ts';

/** What a mother eats and keeps away from. `veg`: milk yes, no egg, fish or meat; `egg`: eggs too; `all`: everything. */
export interface HerFood {
  readonly eats: 'veg' | 'egg' | 'all';
  /** Foods she does not want, whatever the reason. */
  readonly avoids: readonly string[];
  readonly allergies: readonly Allergen[];
}

/** The bar that nothing offered to her may cross: not for a better dish, not for a substitute, not for a pinch. */
export function mayEat(food: Food, her: HerFood): boolean {
  if (food.kind === 'flesh' && her.eats !== 'all') return false;
  if (food.kind === 'egg' && her.eats === 'veg') return false;
  if (her.avoids.includes(food.id)) return false;
  return !food.allergens.some((allergen) => her.allergies.includes(allergen));
}
