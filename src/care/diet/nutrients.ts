/**
 * What is known of a food per 100 g, by name. Grams: protein, fat, carbs (available), fibre, ala; milligrams: calcium, iron, zinc,
 * vitaminC, choline; micrograms: folate, vitaminA (RAE), vitaminB12. Energy is not among them: it is worked out.
 */
export const nutrients = [
  'protein',
  'fat',
  'carbs',
  'fibre',
  'calcium',
  'iron',
  'zinc',
  'folate',
  'vitaminA',
  'vitaminC',
  'ala',
  'vitaminB12',
  'choline',
] as const;

export type Nutrient = (typeof nutrients)[number];

/** Figures by nutrient. One that is absent is unknown, never zero. */
export type NutrientFigures = Readonly<Partial<Record<Nutrient, number>>>;

/**
 * Energy in kcal of the same amount as the figures: protein 4, fat 9, available carbohydrate 4 kcal per gram; fibre left out, as
 * in the Indian Food Composition Tables. Undefined when one of the three is unknown.
 * Source: Atwater general factors, FAO Food and Nutrition Paper 77 (2003).
 */
export function energyKcal({ protein, fat, carbs }: NutrientFigures): number | undefined {
  if (protein === undefined || fat === undefined || carbs === undefined) return undefined;
  return 4 * protein + 9 * fat + 4 * carbs;
}
