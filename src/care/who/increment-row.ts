/** One interval of a WHO increment table: start day, end day, L, M + delta (grams), S, P5 (grams). */
export type IncrementRow = readonly [
  startDay: number,
  endDay: number,
  l: number,
  medianPlusDelta: number,
  s: number,
  p5Grams: number,
];
