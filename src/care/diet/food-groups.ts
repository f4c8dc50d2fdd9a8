/**
 * The ten food groups of Minimum Dietary Diversity for Women, in the order of its guide.
 * Source: FAO, Minimum dietary diversity for women: an updated guide for measurement (2021), and FAO and FHI 360 (2016).
 * grains: grains, white roots and tubers, plantains; orange: other vitamin A-rich fruits and vegetables.
 */
export const foodGroups = [
  'grains',
  'pulses',
  'nuts',
  'dairy',
  'flesh',
  'eggs',
  'greens',
  'orange',
  'vegetables',
  'fruits',
] as const;

export type FoodGroup = (typeof foodGroups)[number];
