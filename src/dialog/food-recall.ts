import { ageInDays } from '../care/age.ts';
import { foodGroups } from '../care/diet/food-groups.ts';
import type { Allergen } from '../care/diet/foods.ts';
import { type DietRecall, groupsFromChoices, recallResult } from '../care/diet/recall.ts';
import type { Run } from './dialog-context.ts';
import { type Draft, note, say, writingMother } from './draft.ts';
import { foodOf, herFood, keepFood } from './food-of-her.ts';
import { foodWords } from './food-words.ts';
import type { AnswerScalar, Mother } from './line.ts';
import type { World } from './world.ts';

const keptRecalls = 30;
const keptSuggestions = 3;
/** Age of the baby in days from which she is asked. Common practice, no source. */
const firstAskedAtDays = 7;
/** Days between two recalls, and between every other one: at most twice in any seven days. */
const leastGapDays = 3;
const twiceInDays = 7;

/** Whether she is asked today what she ate yesterday: twice a week from the baby's seventh day. @param day YYYY-MM-DD */
export function isDietDue(mother: Mother, day: string): boolean {
  const born = mother.babies[0]?.bornOn;
  if (born === undefined || ageInDays(born, day) < firstAskedAtDays) return false;
  const [last, before] = [...foodOf(mother).askedOn].reverse();
  const since = (asked: string): number => Math.round((Date.parse(day) - Date.parse(asked)) / 86_400_000);
  if (last !== undefined && since(last) < leastGapDays) return false;
  return before === undefined || since(before) >= twiceInDays;
}

/** Remembers that she is asked now. */
export function noteDietAsked(draft: Draft): void {
  const day = draft.world.calendar.day(draft.world.now);
  const { askedOn } = foodOf(writingMother(draft));
  keepFood(draft, { askedOn: [...askedOn.filter((asked) => asked !== day), day].slice(-2) });
}

/** Keeps what she answered; of a recall that was not ended, too. @returns undefined when nothing was answered */
function keepRecall(draft: Draft, run: Run): DietRecall | undefined {
  const mother = writingMother(draft);
  const { answers } = run;
  if (mother === undefined || Object.values(answers).every((value) => value === null)) return undefined;
  const { world } = draft;
  const day = world.calendar.plusDays(world.calendar.day(world.now), -1);
  const recall: DietRecall = {
    day,
    groups: groupsFromChoices([chosen(answers['ateFirst']), chosen(answers['ateSecond'])]),
    meals: counted(answers['meals']),
    glassesOfWater: counted(answers['water']),
    iodisedSalt: yesNo(answers['salt']),
    sun: yesNo(answers['sun']),
    supplementsTaken: yesNo(answers['tablets']),
    avoidedForBaby: typeof answers['avoided'] === 'string' ? answers['avoided'] : null,
  };
  const { recalls } = foodOf(mother);
  keepFood(draft, { recalls: [...recalls.filter((one) => one.day !== day), recall].slice(-keptRecalls) });
  if ('avoided' in answers && !run.open.includes('avoided')) keepAvoided(draft, answers['avoided']);
  note(draft, 'diet', { mother: draft.state.writing, ...recall });
  return recall;
}

/** Keeps the answers of a recall that nobody ended. */
export function keepDiet(draft: Draft, run: Run): void {
  keepRecall(draft, run);
}

/** Ends a recall: one small step that fits her, and what makes milk. No count of groups is ever told. */
export function recordDiet(draft: Draft, run: Run): void {
  const recall = keepRecall(draft, run);
  const mother = writingMother(draft);
  if (recall === undefined || mother === undefined) return;
  const { suggested } = foodOf(mother);
  const month = Number(recall.day.slice(5, 7));
  const { step, missing } = recallResult(
    recall,
    herFood(mother),
    draft.world.content.food.foods,
    month,
    'low',
    suggested,
  );
  say(draft, 'diet.thanks');
  if (step.group !== null && step.food !== null) {
    const words = foodWords(draft.state, draft.world, draft.channel);
    say(draft, `smallStep.${step.group}`, { food: words(`food.${step.food}`) });
    keepFood(draft, { suggested: [...suggested, step.group].slice(-keptSuggestions) });
  } else if (missing.length === 0 && foodGroups.every((group) => recall.groups[group] !== null))
    say(draft, 'smallStep.none');
  say(draft, 'customTalk.drain');
}

/**
 * What she keeps away from is kept away from in all that is offered to her: the foods she names, a whole group when she names
 * it by its everyday name ("dal"), everything of that allergen when she says allergy. "0" takes it back.
 */
function keepAvoided(draft: Draft, avoided: AnswerScalar | undefined): void {
  const { world } = draft;
  if (avoided === null || avoided === undefined) {
    keepFood(draft, { avoids: [], cooking: null });
    return;
  }
  // By keypad she says only that there is something: the counsellor asks what.
  if (typeof avoided !== 'string' || avoided === 'keys') return;
  const { avoids, allergies } = avoidedFoods(avoided, world);
  const before = foodOf(writingMother(draft));
  keepFood(draft, { avoids, allergies: [...new Set([...before.allergies, ...allergies])], cooking: null });
}

/** The foods and allergens that a text says she keeps away from. */
export function avoidedFoods(
  text: string,
  world: World,
): { readonly avoids: readonly string[]; readonly allergies: readonly Allergen[] } {
  const { food, wordLists } = world.content;
  const { foods, readFoods } = food;
  const named = readFoods(text).things.flatMap(({ id }) => foods.get(id) ?? []);
  const whole = foodGroups.filter((group) => wordLists.holds(text, `kitchen.word.group.${group}`));
  const avoids = new Set(named.map(({ id }) => id));
  for (const food of foods.values())
    if (food.group !== 'none' && whole.includes(food.group)) avoids.add(food.id);
  const isAllergy = wordLists.holds(text, 'kitchen.word.allergy');
  return {
    avoids: [...avoids],
    allergies: isAllergy ? [...new Set(named.flatMap(({ allergens }) => allergens))] : [],
  };
}

const chosen = (value: AnswerScalar | undefined): readonly number[] | null =>
  typeof value === 'string'
    ? value
        .split(',')
        .filter((n) => n !== '')
        .map(Number)
    : null;

/** A range such as "8-10" counts as its lower end. */
const counted = (value: AnswerScalar | undefined): number | null =>
  typeof value === 'number' ? value : typeof value === 'string' ? Number.parseInt(value, 10) : null;

const yesNo = (value: AnswerScalar | undefined): boolean | null =>
  typeof value === 'boolean' ? value : null;
