import fc from 'fast-check';
import { allergens } from '../../src/care/diet/foods.ts';
import { type Tip, type TipFacts, tipConcerns } from '../../src/care/tips/index.ts';
import { contentRoot, loadLanguages } from '../../src/programme/load-content.ts';
import { loadTips } from '../../src/programme/load-tips.ts';

export const languages: readonly string[] = loadLanguages(contentRoot).map(({ code }) => code);
/** The calendar as it is shipped. */
export const tips: readonly Tip[] = loadTips(contentRoot, languages);

export const tipNamed = (id: string): Tip => {
  const tip = tips.find((one) => one.id === id);
  if (tip === undefined) throw new Error(`no tip named "${id}"`);
  return tip;
};

/** Invented mothers of every kind. */
export const mothers: fc.Arbitrary<Omit<TipFacts, 'ageDays' | 'month'>> = fc.record({
  babies: fc.constantFrom(1, 1, 2, 3),
  gestationWeeks: fc.constantFrom(null, 34, 36, 37, 40),
  firstBaby: fc.constantFrom(null, true, false),
  eats: fc.constantFrom('veg', 'egg', 'all'),
  allergies: fc.subarray([...allergens]),
  concerns: fc.subarray([...tipConcerns], { maxLength: 4 }),
  language: fc.constantFrom(...languages),
});

export const facts: fc.Arbitrary<TipFacts> = fc
  .record({ her: mothers, ageDays: fc.integer({ min: 0, max: 760 }), month: fc.integer({ min: 1, max: 12 }) })
  .map(({ her, ...rest }) => ({ ...her, ...rest }));
