import type { Reason } from './reason.ts';
import type { Tier } from './signs.ts';
import { urgency } from './tier.ts';

/** One mother on the counsellor's list, with why. `waitingSinceAt` is epoch milliseconds of the oldest open reason. */
export interface WorklistEntry {
  readonly id: string;
  readonly tier: Tier;
  readonly reasons: readonly Reason[];
  /** A danger sign of mother or baby is told. */
  readonly dangerTold: boolean;
  /** Youngest baby; null when not known, read as a newborn. */
  readonly ageDays: number | null;
  readonly waitingSinceAt: number;
}

/** What decides between two places on the list, the first that differs, in this order. */
export const placeRules = [
  'tier',
  'danger-told',
  'younger-than-14-days',
  'more-reasons',
  'waiting-longer',
  'younger',
  'name',
] as const;
export type PlaceRule = (typeof placeRules)[number];

/** Why one stands above the other: the rule, and what each of the two had under it. */
export interface WhyAbove {
  readonly above: string;
  readonly below: string;
  readonly rule: PlaceRule;
  readonly aboveHas: string | number | boolean;
  readonly belowHas: string | number | boolean;
}

/** Reasons of the entry's own tier: more of them weigh more. */
function weightyReasons({ reasons, tier }: WorklistEntry): number {
  return reasons.filter((reason) => reason.tier === tier).length;
}

/** Bigger comes first. */
const rank: Readonly<Record<Exclude<PlaceRule, 'name'>, (entry: WorklistEntry) => number>> = {
  tier: (entry) => urgency(entry.tier),
  'danger-told': (entry) => (entry.dangerTold ? 1 : 0),
  'younger-than-14-days': (entry) => ((entry.ageDays ?? 0) < 14 ? 1 : 0),
  'more-reasons': weightyReasons,
  'waiting-longer': (entry) => -entry.waitingSinceAt,
  younger: (entry) => -(entry.ageDays ?? 0),
};

const shown: Readonly<Record<PlaceRule, (entry: WorklistEntry) => string | number | boolean>> = {
  tier: (entry) => entry.tier,
  'danger-told': (entry) => entry.dangerTold,
  'younger-than-14-days': (entry) => entry.ageDays ?? 'not known',
  'more-reasons': weightyReasons,
  'waiting-longer': (entry) => entry.waitingSinceAt,
  younger: (entry) => entry.ageDays ?? 'not known',
  name: (entry) => entry.id,
};

function deciding(a: WorklistEntry, b: WorklistEntry): { readonly rule: PlaceRule; readonly order: number } {
  for (const rule of placeRules) {
    const order = rule === 'name' ? (a.id < b.id ? -1 : a.id > b.id ? 1 : 0) : rank[rule](b) - rank[rule](a);
    if (order !== 0) return { rule, order };
  }
  return { rule: 'name', order: 0 };
}

/**
 * Whom to reach first: one list, most urgent first. Entries of tier none are left out.
 * Source: common practice, no source; the order is explained by `whyAbove`.
 */
export function worklist(entries: readonly WorklistEntry[]): readonly WorklistEntry[] {
  return entries.filter((entry) => entry.tier !== 'none').sort((a, b) => deciding(a, b).order);
}

/** Why one of two stands above the other on the list, whichever it is. */
export function whyAbove(a: WorklistEntry, b: WorklistEntry): WhyAbove {
  const { rule, order } = deciding(a, b);
  const [above, below] = order <= 0 ? [a, b] : [b, a];
  return {
    above: above.id,
    below: below.id,
    rule,
    aboveHas: shown[rule](above),
    belowHas: shown[rule](below),
  };
}

/** The explanation in plain English, for the desk of the counsellor and clinical leads. */
export function whyAboveText({ rule, aboveHas, belowHas }: WhyAbove): string {
  switch (rule) {
    case 'tier':
      return `More urgent: tier ${String(aboveHas)} before ${String(belowHas)}.`;
    case 'danger-told':
      return 'Same tier, and here a danger sign is told.';
    case 'younger-than-14-days':
      return `Same tier, and the baby is under 14 days old (${String(aboveHas)}, the other ${String(belowHas)}).`;
    case 'more-reasons':
      return `Same tier, with more reasons of that tier (${String(aboveHas)}, the other ${String(belowHas)}).`;
    case 'waiting-longer':
      return 'All else the same, and she has waited longer.';
    case 'younger':
      return `All else the same, and the baby is younger (${String(aboveHas)} days, the other ${String(belowHas)}).`;
    case 'name':
      return 'Nothing sets them apart; they stand in the order of their names.';
    default:
      return rule satisfies never;
  }
}
