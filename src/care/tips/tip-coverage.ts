import { daysInMonth } from '../age.ts';
import type { HerFood } from '../diet/her-food.ts';
import { tipFits } from './tip-fits.ts';
import { lastTipDay } from './tip-rhythm.ts';
import { tipRun, tipsByAge } from './tip-run.ts';
import type { Tip, TipFacts } from './tip.ts';

/** The fewest tips that were left to choose from in a span of ages, for the mother for whom there are fewest. */
export interface TipSpan {
  readonly fromDays: number;
  readonly untilDays: number;
  readonly fewest: number;
}

/** The spans in which one tip is told, week by week in the first year, then fortnights, for one way of eating. */
export interface TipCoverage {
  readonly eats: HerFood['eats'];
  readonly spans: readonly TipSpan[];
}

export const everyDiet: readonly HerFood['eats'][] = ['veg', 'egg', 'all'];

/**
 * How many tips are left to tell in each week, in the worst case. Each way of eating is run from each day of the first week, in each
 * language, at term and early, one baby and twins. All else is as lean as it can be, since more only adds tips: every allergy, no concern
 * to answer, a doubt about the milk all along, the wrong season for every seasonal tip, and nothing known of a first baby.
 * @param languages codes of the languages of the line
 */
export function tipCoverage(tips: readonly Tip[], languages: readonly string[]): readonly TipCoverage[] {
  const lean = tips.filter(
    ({ when, allergens }) =>
      allergens.length === 0 &&
      when.concerns === undefined &&
      when.unless === undefined &&
      when.months === undefined &&
      when.firstBaby === undefined,
  );
  return everyDiet.map((eats) => {
    const spans = spansOf();
    const fewest = spans.map(() => Number.POSITIVE_INFINITY);
    for (const kind of kindsOf(lean, languages, eats)) {
      const at = tipsByAge(lean.filter((tip) => tipFits(tip, { ...kind, ageDays: tip.fromDays })));
      for (let from = 0; from < 7; from++) {
        let span = 0;
        for (const { facts, told } of tipRun(at, (ageDays) => ({ ...kind, ageDays }), from)) {
          while (facts.ageDays >= (spans[span]?.untilDays ?? lastTipDay)) span++;
          const left = at(facts.ageDays).filter((tip) => !told.has(tip.id)).length;
          fewest[span] = Math.min(fewest[span] ?? left, left);
        }
      }
    }
    return { eats, spans: spans.map((one, i) => ({ ...one, fewest: fewest[i] ?? 0 })) };
  });
}

/** Weeks in the first year, then fortnights: in each a tip is told, and in the first weeks more. */
function spansOf(): readonly { readonly fromDays: number; readonly untilDays: number }[] {
  const starts: number[] = [];
  for (let day = 0; day < lastTipDay; day += day < 364 ? 7 : 14) starts.push(day);
  return starts.map((fromDays, i) => ({ fromDays, untilDays: starts[i + 1] ?? lastTipDay }));
}

/** Mothers whom tips tell apart, all else the same. */
export function kindsOf(
  tips: readonly Tip[],
  languages: readonly string[],
  eats: HerFood['eats'],
): readonly TipFacts[] {
  const rest = { ageDays: 0, firstBaby: null, eats, allergies: [], concerns: [], month: 1 };
  return languagesApart(tips, languages).flatMap((language) =>
    [1, 2].flatMap((babies) =>
      [null, 34].map((gestationWeeks): TipFacts => ({ ...rest, language, babies, gestationWeeks })),
    ),
  );
}

/** Languages between which no tip tells a difference are tried once. */
function languagesApart(tips: readonly Tip[], languages: readonly string[]): readonly string[] {
  const named = new Set(tips.flatMap((tip) => tip.when.languages ?? []));
  const other = languages.find((language) => !named.has(language));
  return [...languages.filter((language) => named.has(language)), ...(other === undefined ? [] : [other])];
}

/** The month, 1 to 12, at an age in days when the baby was born at the start of a month. */
export function monthAt(bornInMonth: number, ageDays: number): number {
  return ((bornInMonth - 1 + Math.floor(ageDays / daysInMonth)) % 12) + 1;
}
