import { aheadHours, cautionsOf } from '../care/diet/dish-cautions.ts';
import { richIn, servingOf } from '../care/diet/dish-nutrition.ts';
import { dishTelling, type ToTake } from '../care/diet/dish-telling.ts';
import { requirementFor, stageAt } from '../care/diet/requirement.ts';
import type { Filled, MadeDish } from '../care/diet/substitution.ts';
import { ageInDays } from '../care/age.ts';
import { isSevenBit, textLength } from '../care/diet/text-length.ts';
import { letterBudget, segmentBudget, segmentsOf } from '../language/sms-segments.ts';
import type { Channel } from '../language/wording.ts';
import type { FoodContent } from './food-content.ts';
import type { KeptDish } from './food-kept.ts';
import { amountWords, type FoodWords, foodWords } from './food-words.ts';
import type { LineState, Mother } from './line.ts';
import type { World } from './world.ts';

const mostNutrientsNamed = 3;

/** A kept dish as the rules of care see it. Undefined when the file of dishes has it no more, or not in this way. */
export function madeOf(kept: KeptDish, { dishes }: FoodContent): MadeDish | undefined {
  const dish = dishes.byId.get(kept.dish);
  if (dish === undefined || dish.needs.length !== kept.foods.length) return undefined;
  const filled = dish.needs.flatMap((slot, at): readonly Filled[] => {
    const option = slot.options.find(({ food }) => food === kept.foods[at]);
    const own = slot.options[0]?.food;
    if (option === undefined || own === undefined) return [];
    return [{ slot, ...option, insteadOf: option.food === own ? null : own }];
  });
  const added = dish.mayAdd.flatMap((slot): readonly Filled[] => {
    const option = slot.options[0];
    return option !== undefined && kept.added.includes(option.food)
      ? [{ slot, ...option, insteadOf: null }]
      : [];
  });
  return filled.length === dish.needs.length ? { dish, filled, added } : undefined;
}

/** The other way round: the dish as it is kept. */
export const keptOf = (made: MadeDish, missing: string | null): KeptDish => ({
  dish: made.dish.id,
  foods: made.filled.map(({ food }) => food),
  added: made.added.map(({ food }) => food),
  missing,
});

/**
 * A dish in messages: what to take, what stands in, what to mind; then its steps, one message each. How it is parted into
 * messages is the same on a call, so that she can go on from a text in a call.
 */
export function dishMessages(
  made: MadeDish,
  mother: Mother,
  state: LineState,
  world: World,
  channel: Channel,
): readonly string[] {
  const written = told(made, mother, state, world, 'text');
  const said = channel === 'text' ? written : told(made, mother, state, world, channel);
  const tail = foodWords(state, world, 'text')('kitchen.onward');
  const groups = packed(written.before, tail);
  return [...groups.map((group) => group.map((at) => said.before[at] ?? '').join(' ')), ...said.steps];
}

/** How many messages come before the first step. */
export function messagesBefore(made: MadeDish, mother: Mother, state: LineState, world: World): number {
  const words = foodWords(state, world, 'text');
  return packed(told(made, mother, state, world, 'text').before, words('kitchen.onward')).length;
}

/** Letters by which a count can fall short of the carrier's, which never parts a letter from its signs. */
const countedShort = 16;

/** Whether the words fit in one message, as the carrier counts. Only a text near the limit is counted letter by letter. */
export function fitsMessage(text: string): boolean {
  const most = letterBudget[isSevenBit(text) ? 'GSM-7' : 'UCS-2'];
  const length = textLength(text);
  if (length <= most - countedShort || length > most) return length <= most;
  const { encoding, segments } = segmentsOf(text);
  return segments <= segmentBudget[encoding];
}

function told(made: MadeDish, mother: Mother, state: LineState, world: World, channel: Channel) {
  const { food } = world.content;
  const words = foodWords(state, world, channel);
  const telling = dishTelling(made, food.foods);
  const dish = words(`dish.${telling.dish}.name`);
  const called = Object.fromEntries(
    Object.entries(telling.called).map(([as, id]) => [as, words(`food.${id}`)]),
  );
  const rich = richIn(servingOf(made, food.foods), needOf(mother, world)).slice(0, mostNutrientsNamed);
  const before = [
    words('dishTalk.needs', {
      dish,
      minutes: telling.minutes,
      list: telling.take.map((one) => takeWords(one, words, channel)).join(', '),
    }),
    ...telling.take.flatMap(({ food: id, insteadOf }) =>
      insteadOf === null
        ? []
        : [words('dishTalk.instead', { food: words(`food.${insteadOf}`), instead: words(`food.${id}`) })],
    ),
    ...cautionsOf(made, food.foods).map((caution) =>
      words(`dishCaution.${caution}`, { hours: aheadHours(made, food.foods) }),
    ),
    ...(telling.add.length === 0
      ? []
      : [words('kitchen.add', { list: telling.add.map((one) => words(`food.${one.food}`)).join(', ') })]),
    ...(rich.length === 0
      ? []
      : [words('dishTalk.rich-in', { list: rich.map((name) => words(`nutrient.${name}`)).join(', ') })]),
  ];
  return { before, steps: telling.steps.map((key) => words(key, called)) };
}

const takeWords = ({ food, count, measure }: ToTake, words: FoodWords, channel: Channel): string =>
  `${words(`food.${food}`)} ${amountWords(count, words, channel)} ${words(`measure.${measure}`)}`;

/** Her need of a day, as if the baby had nothing but her milk: how she feeds is not asked here. */
export function needOf(mother: Mother, { calendar, now, content }: World) {
  const today = calendar.day(now);
  const ageDays = Math.max(0, ageInDays(mother.babies[0]?.bornOn ?? today, today));
  const babies = Math.min(4, Math.max(1, mother.babies.length));
  return requirementFor(content.food.requirements, {
    stage: stageAt(ageDays) ?? '7-12',
    feeding: 'exclusive',
    babies,
  });
}

/** Places of the texts that go together in one message with the tail, in their order. */
function packed(texts: readonly string[], tail: string): readonly (readonly number[])[] {
  const groups: number[][] = [];
  let so = '';
  texts.forEach((text, at) => {
    const last = groups.at(-1);
    const joined = `${so} ${text}`;
    if (last !== undefined && fitsMessage(`${joined} ${tail}`)) {
      last.push(at);
      so = joined;
    } else {
      groups.push([at]);
      so = text;
    }
  });
  return groups;
}
