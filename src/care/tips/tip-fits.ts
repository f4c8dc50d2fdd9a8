import type { Tip, TipConditions, TipFacts } from './tip.ts';

/** Babies born before so many completed weeks are preterm. Source: WHO recommendations for care of the preterm or low-birth-weight infant, 2022 (from memory). */
const termWeeks = 37;

type Holds = (when: TipConditions, facts: TipFacts) => boolean;

const holds: { readonly [Name in keyof Required<TipConditions>]: Holds } = {
  eats: ({ eats }, facts) => eats?.includes(facts.eats) ?? true,
  languages: ({ languages }, facts) => languages?.includes(facts.language) ?? true,
  twins: ({ twins }, facts) => twins === undefined || twins === facts.babies > 1,
  preterm: ({ preterm }, { gestationWeeks }) =>
    preterm === undefined || preterm === (gestationWeeks !== null && gestationWeeks < termWeeks),
  firstBaby: ({ firstBaby }, facts) => firstBaby === undefined || firstBaby === facts.firstBaby,
  months: ({ months }, facts) => months?.includes(facts.month) ?? true,
  concerns: ({ concerns }, facts) => concerns?.some((c) => facts.concerns.includes(c)) ?? true,
  unless: ({ unless }, facts) => !(unless?.some((c) => facts.concerns.includes(c)) ?? false),
};

/** Names of the conditions that a tip may set. */
export const tipConditionNames = Object.keys(holds) as readonly (keyof TipConditions)[];

/** Whether the age lies in the tip's window and every condition that it sets holds. */
export function tipFits(tip: Tip, facts: TipFacts): boolean {
  return (
    facts.ageDays >= tip.fromDays &&
    facts.ageDays < tip.untilDays &&
    !tip.allergens.some((allergen) => facts.allergies.includes(allergen)) &&
    tipConditionNames.every((name) => holds[name](tip.when, facts))
  );
}
