import type { HerFood } from '../diet/her-food.ts';
import type { TipConcern } from './tip-concern.ts';
import type { Tip, TipFacts, TipTopic } from './tip.ts';
import { tipFits } from './tip-fits.ts';

/** What set the chosen tip before the next best, the first that differs, in this order. */
export const tipRules = ['concern', 'must', 'topic', 'ends-sooner', 'priority', 'name'] as const;
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
 * The tip to tell her now, of those never told whose window holds her baby's age and whose conditions hold: one that answers a
 * recent concern before all others; then one of priority 1, which nobody must miss; then one of the topic that she heard least about
 * at this age; then the one whose window ends soonest; then by priority; then by id. There are more tips than weeks: by the end of the
 * window alone, small matters on their last day push out a vaccination. The same facts give the same tip, whatever the order of
 * `tips` or `toldIds`.
 * @param toldIds ids of all tips she was told whose window still holds the age; older or unknown ids do no harm
 * @returns undefined when nothing is left to tell at this age
 * Source of the order: common practice, no source.
 */
export function tipDue(
  tips: readonly Tip[],
  facts: TipFacts,
  toldIds: Iterable<string>,
): ChosenTip | undefined {
  const told = new Set(toldIds);
  const heardOf = topicsHeard(tips, facts.ageDays, told);
  let best: Placed | undefined;
  let second: Placed | undefined;
  for (const tip of tips) {
    if (told.has(tip.id) || !tipFits(tip, facts)) continue;
    const placed = { tip, place: placeOf(tip, facts, heardOf) };
    if (best === undefined || deciding(placed, best).order < 0) {
      second = best;
      best = placed;
    } else if (second === undefined || deciding(placed, second).order < 0) second = placed;
  }
  if (best === undefined) return undefined;
  const last: TipReason =
    second === undefined
      ? { code: 'only-one' }
      : { code: 'before', rule: deciding(best, second).rule, otherId: second.tip.id };
  return { tip: best.tip, why: [...whatIsHers(best.tip, facts), last] };
}

type TopicsHeard = ReadonlyMap<TipTopic, number>;

/** How many tips of each topic she was told among those whose window holds the age. */
function topicsHeard(tips: readonly Tip[], ageDays: number, told: ReadonlySet<string>): TopicsHeard {
  const heard = new Map<TipTopic, number>();
  for (const { id, topic, fromDays, untilDays } of tips) {
    if (told.has(id) && ageDays >= fromDays && ageDays < untilDays)
      heard.set(topic, (heard.get(topic) ?? 0) + 1);
  }
  return heard;
}

/** Concerns of hers that the tip answers, in the order in which the tip names them. */
function answered({ when, firstAfter }: Tip, { concerns }: TipFacts): readonly TipConcern[] {
  if (concerns.length === 0) return [];
  return [...new Set([...(when.concerns ?? []), ...firstAfter])].filter((one) => concerns.includes(one));
}

/** A tip with its figure under each rule but the name; smaller comes first. */
interface Placed {
  readonly tip: Tip;
  readonly place: Readonly<Record<Exclude<TipRule, 'name'>, number>>;
}

function placeOf(tip: Tip, facts: TipFacts, heardOf: TopicsHeard): Placed['place'] {
  return {
    concern: answered(tip, facts).length > 0 ? 0 : 1,
    must: tip.priority === 1 ? 0 : 1,
    topic: heardOf.get(tip.topic) ?? 0,
    'ends-sooner': tip.untilDays,
    priority: tip.priority,
  };
}

function deciding(a: Placed, b: Placed): { readonly rule: TipRule; readonly order: number } {
  for (const rule of tipRules) {
    if (rule === 'name') break;
    const order = a.place[rule] - b.place[rule];
    if (order !== 0) return { rule, order };
  }
  return { rule: 'name', order: a.tip.id < b.tip.id ? -1 : a.tip.id > b.tip.id ? 1 : 0 };
}

function whatIsHers(tip: Tip, facts: TipFacts): readonly TipReason[] {
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
  return reasons;
}
