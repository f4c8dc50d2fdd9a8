import type { HerFood } from '../diet/her-food.ts';
import type { TipConcern } from './tip-concern.ts';
import type { Tip, TipFacts } from './tip.ts';
import { tipFits } from './tip-fits.ts';

/** What set the chosen tip before the next best, the first that differs, in this order. */
export const tipRules = ['concern', 'ends-sooner', 'began-later', 'priority', 'name'] as const;
export type TipRule = (typeof tipRules)[number];

/** Why this tip, in codes with their figures: the age first, then what is hers, then what set it before the next best. */
export type TipReason =
  | { readonly code: 'age'; readonly ageDays: number; readonly fromDays: number; readonly untilDays: number }
  | { readonly code: 'concern'; readonly concern: TipConcern }
  | { readonly code: 'eats'; readonly eats: HerFood['eats'] }
  | { readonly code: 'language'; readonly language: string }
  | { readonly code: 'twins'; readonly babies: number }
  | { readonly code: 'preterm'; readonly gestationWeeks: number }
  | { readonly code: 'first-baby' }
  | { readonly code: 'season'; readonly month: number }
  | { readonly code: 'before'; readonly rule: TipRule; readonly otherId: string }
  | { readonly code: 'only-one' };

/** A tip and why it is this one. */
export interface ChosenTip {
  readonly tip: Tip;
  readonly why: readonly TipReason[];
}

/**
 * The tip to tell her now: of those never told whose window holds her baby's age and whose conditions hold, one that answers a
 * recent concern; else the one whose window ends soonest; then the one that began last; then by priority; then by id. The same facts
 * give the same tip, whatever the order of `tips` or `toldIds`.
 * @param toldIds ids of all tips she was ever told; ids that are no longer in the calendar do no harm
 * @returns undefined when nothing is left to tell at this age
 * Source of the order: common practice, no source.
 */
export function tipDue(
  tips: readonly Tip[],
  facts: TipFacts,
  toldIds: Iterable<string>,
): ChosenTip | undefined {
  const told = new Set(toldIds);
  let best: Tip | undefined;
  let second: Tip | undefined;
  for (const tip of tips) {
    if (told.has(tip.id) || !tipFits(tip, facts)) continue;
    if (best === undefined || deciding(tip, best, facts).order < 0) {
      second = best;
      best = tip;
    } else if (second === undefined || deciding(tip, second, facts).order < 0) second = tip;
  }
  return best === undefined ? undefined : { tip: best, why: whyThis(best, second, facts) };
}

/** Concerns of hers that the tip answers, in the order in which the tip names them. */
function answered(tip: Tip, facts: TipFacts): readonly TipConcern[] {
  return [...new Set([...(tip.when.concerns ?? []), ...tip.firstAfter])].filter((concern) =>
    facts.concerns.includes(concern),
  );
}

/** Smaller comes first. */
const place: Readonly<Record<Exclude<TipRule, 'name'>, (tip: Tip, facts: TipFacts) => number>> = {
  concern: (tip, facts) => (answered(tip, facts).length > 0 ? 0 : 1),
  'ends-sooner': (tip) => tip.untilDays,
  'began-later': (tip) => -tip.fromDays,
  priority: (tip) => tip.priority,
};

function deciding(a: Tip, b: Tip, facts: TipFacts): { readonly rule: TipRule; readonly order: number } {
  for (const rule of tipRules) {
    const order =
      rule === 'name'
        ? a.id < b.id
          ? -1
          : a.id > b.id
            ? 1
            : 0
        : place[rule](a, facts) - place[rule](b, facts);
    if (order !== 0) return { rule, order };
  }
  return { rule: 'name', order: 0 };
}

function whyThis(tip: Tip, next: Tip | undefined, facts: TipFacts): readonly TipReason[] {
  const { when } = tip;
  const reasons: TipReason[] = [
    { code: 'age', ageDays: facts.ageDays, fromDays: tip.fromDays, untilDays: tip.untilDays },
    ...answered(tip, facts).map((concern): TipReason => ({ code: 'concern', concern })),
  ];
  if (when.eats !== undefined) reasons.push({ code: 'eats', eats: facts.eats });
  if (when.twins === true) reasons.push({ code: 'twins', babies: facts.babies });
  if (when.preterm === true && facts.gestationWeeks !== null)
    reasons.push({ code: 'preterm', gestationWeeks: facts.gestationWeeks });
  if (when.firstBaby === true) reasons.push({ code: 'first-baby' });
  if (when.months !== undefined) reasons.push({ code: 'season', month: facts.month });
  if (when.languages !== undefined) reasons.push({ code: 'language', language: facts.language });
  reasons.push(
    next === undefined
      ? { code: 'only-one' }
      : { code: 'before', rule: deciding(tip, next, facts).rule, otherId: next.id },
  );
  return reasons;
}
