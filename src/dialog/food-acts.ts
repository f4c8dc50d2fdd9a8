import { openAlerts } from '../counsel/alerts.ts';
import type { Run } from './dialog-context.ts';
import { type Draft, minuteMs, setDue, writingMother } from './draft.ts';
import { findDishes, takeDish, tellNext } from './food-cook.ts';
import { tellChosenCustom } from './food-customs.ts';
import { isDietDue, keepDiet, noteDietAsked, recordDiet } from './food-recall.ts';

/** The question about her food comes as a message of its own, so many minutes after the answer to the check-in. */
const dietAfterMinutes = 2;

type FoodAct = (draft: Draft, run: Run) => string | undefined;

const quietly =
  (act: (draft: Draft, run: Run) => void): FoodAct =>
  (draft, run) => {
    act(draft, run);
    return undefined;
  };

/** What the flows about food may name in `do:`. */
export const foodActs = {
  findDishes,
  takeDish,
  tellNext,
  keepDiet: quietly(keepDiet),
  recordDiet: quietly(recordDiet),
  noteDietAsked: quietly(noteDietAsked),
  tellCustom: quietly(tellChosenCustom),
  obeyFoodKey: (draft, run) => {
    const flow = ['cook', 'food-ask', 'diet'][Number(run.answers['foodKey']) - 1];
    // A check-in under way is ended first: what she ate can wait.
    return flow === 'diet' && draft.state.dialog !== null ? undefined : flow;
  },
  askDiet,
} satisfies Readonly<Record<string, FoodAct>>;

/** After a check-in that raised no concern, on a day without a weighing or questions on her mood: what she ate. */
function askDiet(draft: Draft, run: Run): string | undefined {
  const mother = writingMother(draft);
  const { world, state } = draft;
  if (mother === undefined || draft.hangUp || !isDietDue(mother, world.calendar.day(world.now)))
    return undefined;
  if ('grams#0' in run.answers || 'interest' in run.answers) return undefined;
  if (openAlerts(draft).some((a) => a.mother === state.writing && a.tier !== 'C')) return undefined;
  if (draft.channel === 'voice') return 'diet';
  setDue(draft, { kind: 'diet', at: world.now + dietAfterMinutes * minuteMs, mother: state.writing });
  return undefined;
}
