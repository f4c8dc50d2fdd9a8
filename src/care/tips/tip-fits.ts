import type { Tip, TipConditions, TipFacts } from './tip.ts';

/** Babies born before so many completed weeks are preterm. Source: WHO recommendations for care of the preterm or low-birth-weight infant, 2022 (from memory). */
const termWeeks = 37;

/** Whether the age lies in the tip's window, nothing in it is kept away from, and every condition that it sets holds. */
export function tipFits(tip: Tip, facts: TipFacts): boolean {
  return (
    facts.ageDays >= tip.fromDays &&
    facts.ageDays < tip.untilDays &&
    isForHer(tip.when, facts) &&
    suitsNow(tip.when, facts) &&
    !tip.allergens.some((allergen) => facts.allergies.includes(allergen))
  );
}

function isForHer({ eats, languages, twins, preterm, firstBaby }: TipConditions, facts: TipFacts): boolean {
  return (
    (eats === undefined || eats.includes(facts.eats)) &&
    (languages === undefined || languages.includes(facts.language)) &&
    (twins === undefined || twins === facts.babies > 1) &&
    (preterm === undefined || preterm === isPreterm(facts)) &&
    (firstBaby === undefined || firstBaby === facts.firstBaby)
  );
}

function suitsNow({ months, concerns, unless }: TipConditions, facts: TipFacts): boolean {
  return (
    (months === undefined || months.includes(facts.month)) &&
    (concerns === undefined || concerns.some((one) => facts.concerns.includes(one))) &&
    (unless === undefined || !unless.some((one) => facts.concerns.includes(one)))
  );
}

function isPreterm({ gestationWeeks }: TipFacts): boolean {
  return gestationWeeks !== null && gestationWeeks < termWeeks;
}
