import { tipFits } from './tip-fits.ts';
import { everyDiet, kindsOf, monthAt } from './tip-coverage.ts';
import { tipRun, tipsByAge } from './tip-run.ts';
import type { Tip, TipFacts } from './tip.ts';

/** Whether some mother fulfils all its conditions on some day of its window. */
export function canFit(tip: Tip, languages: readonly string[]): boolean {
  const concerns = tip.when.concerns ?? [undefined];
  return mothersFor(tip, languages).some((her) =>
    concerns.some((concern) =>
      tipFits(tip, { ...her(tip.fromDays), concerns: concern === undefined ? [] : [concern] }),
    ),
  );
}

/** What one kind of mother is told from the day on which she joined. */
export interface TipsOfMother {
  readonly kind: TipFacts;
  readonly joinedAtDays: number;
  readonly told: ReadonlySet<string>;
}

/** The tips of each kind of mother, joining on each day of the first week, another month of birth for each. */
export function tipsOfMothers(tips: readonly Tip[], languages: readonly string[]): readonly TipsOfMother[] {
  const at = tipsByAge(tips);
  return everyDiet
    .flatMap((eats) => kindsOf(tips, languages, eats))
    .flatMap((kind) =>
      Array.from({ length: 7 }, (_, joinedAtDays) => {
        const her: Her = (ageDays) => ({
          ...kind,
          ageDays,
          month: monthAt(1 + ((joinedAtDays * 2) % 12), ageDays),
        });
        const told = [...tipRun(at, her, joinedAtDays)].flatMap(({ chosen }) => chosen?.tip.id ?? []);
        return { kind, joinedAtDays, told: new Set(told) };
      }),
    );
}

/** Tips of priority 1 that some mother misses although she was on the line from their first day, and at which age she had joined. */
export function firstTipsMissed(
  tips: readonly Tip[],
  mothers: readonly TipsOfMother[],
): readonly { readonly tip: Tip; readonly joinedAtDays: number }[] {
  return tips
    .filter(({ priority }) => priority === 1)
    .flatMap((tip) => {
      const { fromDays: ageDays, when } = tip;
      const missing = mothers.find(
        ({ kind, joinedAtDays, told }) =>
          joinedAtDays <= ageDays &&
          !told.has(tip.id) &&
          tipFits(tip, { ...kind, ageDays, month: when.months?.[0] ?? kind.month }),
      );
      return missing === undefined ? [] : [{ tip, joinedAtDays: missing.joinedAtDays }];
    });
}

/**
 * Tips that are never told although they fit: others come first until their window is over. Those that none of `mothers` is told are
 * tried on the mother whom they suit, joining on every day, born in every month, with a concern that brings it forward too.
 * @param languages codes of the languages of the line
 */
export function tipsNeverTold(
  tips: readonly Tip[],
  languages: readonly string[],
  mothers: readonly TipsOfMother[],
): readonly Tip[] {
  const at = tipsByAge(tips);
  return tips.filter(
    (tip) =>
      !mothers.some(({ told }) => told.has(tip.id)) &&
      ![tip, afterConcern(tip)].some((one) => mothersFor(one, languages).some((her) => isTold(tip, her, at))),
  );
}

/** The same tip as one for mothers with the concern that brings it forward. */
function afterConcern(tip: Tip): Tip {
  const concerns = tip.when.concerns ?? tip.firstAfter;
  return concerns.length === 0 ? tip : { ...tip, when: { ...tip.when, concerns } };
}

type Her = (ageDays: number) => TipFacts;

/** Mothers who fulfil the tip's conditions, born in each month, with a concern where it needs one. */
function mothersFor({ when }: Tip, languages: readonly string[]): readonly Her[] {
  const facts = {
    babies: when.twins === true ? 2 : 1,
    gestationWeeks: when.preterm === true ? 34 : null,
    firstBaby: when.firstBaby ?? null,
    eats: when.eats?.[0] ?? 'all',
    allergies: [],
    concerns: when.concerns?.slice(0, 1) ?? [],
    language: when.languages?.[0] ?? languages[0] ?? '',
  } as const;
  return Array.from(
    { length: 12 },
    (_, i): Her =>
      (ageDays) => ({
        ...facts,
        ageDays,
        month: monthAt(i + 1, ageDays),
      }),
  );
}

function isTold(tip: Tip, her: Her, at: (ageDays: number) => readonly Tip[]): boolean {
  const fromBirth = Array.from({ length: Math.min(7, tip.untilDays) }, (_, day) => day);
  const fromLater = Array.from({ length: tip.untilDays - tip.fromDays }, (_, i) => tip.untilDays - 1 - i);
  return [...fromBirth, ...fromLater].some((joined) => {
    if (joined >= tip.fromDays && !tipFits(tip, her(joined))) return false;
    for (const { chosen } of tipRun(at, her, joined, tip.untilDays))
      if (chosen?.tip.id === tip.id) return true;
    return false;
  });
}
