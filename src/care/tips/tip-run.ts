import { type ChosenTip, tipDue } from './tip-due.ts';
import { daysToNextTip, lastTipDay } from './tip-rhythm.ts';
import type { Tip, TipFacts } from './tip.ts';

/** One day on which a tip is told, or would be. */
export interface TipDay {
  readonly facts: TipFacts;
  /** Ids told before this day; read it before the next day is asked for. */
  readonly told: ReadonlySet<string>;
  /** Undefined: nothing was left. */
  readonly chosen: ChosenTip | undefined;
}

/**
 * The tips of one mother from a day on, in their rhythm, each day by what is then known of her.
 * @param at the tips whose window holds an age in days; see `tipsByAge`
 * @param fromDays age of the youngest baby in days when the first tip is told
 */
export function* tipRun(
  at: (ageDays: number) => readonly Tip[],
  factsAt: (ageDays: number) => TipFacts,
  fromDays: number,
  untilDays: number = lastTipDay,
): Generator<TipDay> {
  const told = new Set<string>();
  for (let ageDays = fromDays; ageDays < untilDays; ageDays += daysToNextTip(ageDays)) {
    const facts = factsAt(ageDays);
    const chosen = tipDue(at(ageDays), facts, told);
    yield { facts, told, chosen };
    if (chosen !== undefined) told.add(chosen.tip.id);
  }
}

/** The tips by age in days, so that many runs need not look at every tip each day. */
export function tipsByAge(tips: readonly Tip[]): (ageDays: number) => readonly Tip[] {
  const byAge: Tip[][] = Array.from({ length: lastTipDay }, () => []);
  for (const tip of tips) {
    for (let age = tip.fromDays; age < tip.untilDays; age++) byAge[age]?.push(tip);
  }
  return (ageDays) => byAge[ageDays] ?? [];
}
