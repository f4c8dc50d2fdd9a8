import { type FoodGroup, foodGroups } from './food-groups.ts';
import type { Food, Foods } from './foods.ts';
import type { HerFood } from './her-food.ts';
import { type SmallStep, smallStep } from './next-step.ts';

/** The answers of one diet recall, for yesterday's day and night. Null: asked and left open. */
export interface DietRecall {
  /** Calendar day eaten, YYYY-MM-DD. */
  readonly day: string;
  /** Groups she ate of, a tablespoon (15 g) or more of something in it; null for a group left open. */
  readonly groups: Readonly<Record<FoodGroup, boolean | null>>;
  readonly meals: number | null;
  readonly glassesOfWater: number | null;
  readonly iodisedSalt: boolean | null;
  readonly sun: boolean | null;
  readonly supplementsTaken: boolean | null;
  /** What she keeps away from 'because of the baby', in her words. */
  readonly avoidedForBaby: string | null;
}

/** The ten groups as they are asked, in two texts of five, each answered by the numbers of what she ate. */
export const askedTogether: readonly (readonly FoodGroup[])[] = [foodGroups.slice(0, 5), foodGroups.slice(5)];

/**
 * The groups from the numbers chosen in each of the two texts (1-5; none chosen: an empty list; not answered: null).
 * @throws RangeError for a number that was not in the text
 */
export function groupsFromChoices(texts: readonly (readonly number[] | null)[]): DietRecall['groups'] {
  const groups = {} as Record<FoodGroup, boolean | null>;
  askedTogether.forEach((asked, which) => {
    const chosen = texts[which] ?? null;
    for (const number of chosen ?? []) {
      if (asked[number - 1] === undefined) throw new RangeError(`there is no group ${number} in that text`);
    }
    asked.forEach((group, at) => {
      groups[group] = chosen === null ? null : chosen.includes(at + 1);
    });
  });
  return groups;
}

/** What a counsellor may want to look at. Codes, no thresholds of disease. */
export type DietNote =
  | 'few-meals'
  | 'little-water'
  | 'salt-without-iodine'
  | 'no-sun'
  | 'supplements-not-taken'
  | 'avoids-for-baby'
  | 'groups-left-open';

export interface RecallResult {
  /** Groups eaten, 0-10: for programme figures, only when `complete`. Never told to a mother as a verdict. */
  readonly count: number;
  readonly complete: boolean;
  readonly eaten: readonly FoodGroup[];
  readonly missing: readonly FoodGroup[];
  readonly step: SmallStep;
  readonly notes: readonly DietNote[];
}

/** Fewer meals than this are noted: three and about one more while feeding (common practice, no source). */
const fewMeals = 3;
/** Fewer glasses (200 ml) than this are noted: 2-3 litres a day is the usual teaching; water is for her thirst. Common practice, no source. */
const littleWater = 8;

/** Scores one recall and finds one small next step. A group left open is neither eaten nor missing. */
export function recallResult(
  recall: DietRecall,
  her: HerFood,
  foods: Foods,
  month: number,
  afford: Food['cost'] = 'low',
  suggested: readonly FoodGroup[] = [],
): RecallResult {
  const eaten = foodGroups.filter((group) => recall.groups[group] === true);
  const missing = foodGroups.filter((group) => recall.groups[group] === false);
  const complete = eaten.length + missing.length === foodGroups.length;
  const notes: DietNote[] = [];
  if (recall.meals !== null && recall.meals < fewMeals) notes.push('few-meals');
  if (recall.glassesOfWater !== null && recall.glassesOfWater < littleWater) notes.push('little-water');
  if (recall.iodisedSalt === false) notes.push('salt-without-iodine');
  if (recall.sun === false) notes.push('no-sun');
  if (recall.supplementsTaken === false) notes.push('supplements-not-taken');
  if (recall.avoidedForBaby !== null && recall.avoidedForBaby.trim() !== '') notes.push('avoids-for-baby');
  if (!complete) notes.push('groups-left-open');
  return {
    count: eaten.length,
    complete,
    eaten,
    missing,
    step: smallStep(missing, her, foods, month, afford, suggested),
    notes,
  };
}

/**
 * What her week lacks, for choosing a dish: by group, the part of the days answered on which she had none of it, 0-1. A group never answered
 * is absent. Flesh and eggs that she does not eat are never a gap.
 * @param recalls of the last seven days, in any order
 */
export function weekGaps(
  recalls: readonly DietRecall[],
  her: HerFood,
): Readonly<Partial<Record<FoodGroup, number>>> {
  const gaps: Partial<Record<FoodGroup, number>> = {};
  for (const group of foodGroups) {
    if (group === 'flesh' && her.eats !== 'all') continue;
    if (group === 'eggs' && her.eats === 'veg') continue;
    const answers = recalls.map((recall) => recall.groups[group]).filter((answer) => answer !== null);
    if (answers.length === 0) continue;
    gaps[group] = answers.filter((ate) => !ate).length / answers.length;
  }
  return gaps;
}
