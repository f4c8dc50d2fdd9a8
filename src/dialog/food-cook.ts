import { chooseDishes } from '../care/diet/choose-dish.ts';
import { mayEat } from '../care/diet/her-food.ts';
import { weekGaps } from '../care/diet/recall.ts';
import { larder, waysToMake } from '../care/diet/substitution.ts';
import type { Run } from './dialog-context.ts';
import { type Draft, note, say, writingMother } from './draft.ts';
import type { Cooking, KeptDish } from './food-kept.ts';
import { foodOf, herFood, keepFood, lineFood } from './food-of-her.ts';
import { kitchenPage } from './food-menus.ts';
import { dishMessages, keptOf, madeOf, messagesBefore, needOf } from './food-telling.ts';
import { foodWords } from './food-words.ts';
import type { Mother } from './line.ts';

const keptOffers = 30;
const mostOffered = 3;
const weekDays = 7;

/** What is in the house, from her own words or from the pages of the keypad; then the dishes. */
export function findDishes(draft: Draft, run: Run): string | undefined {
  const written = run.answers['kitchen'];
  const listed = typeof written === 'string' && written !== 'keys' ? written.split(',') : [];
  const pages = ['grainsHere', 'pulsesHere', 'vegetablesHere', 'restHere'].flatMap((field, at) => {
    const chosen = run.answers[field];
    if (typeof chosen !== 'string' || chosen === '') return [];
    const page = kitchenPage(at + 1, draft.state, draft.world);
    return chosen.split(',').flatMap((number) => page[Number(number) - 1] ?? []);
  });
  const kitchen = [...listed, ...pages];
  if (kitchen.length === 0) {
    say(draft, 'kitchen.empty');
    return undefined;
  }
  return offerDishes(draft, kitchen, []);
}

/**
 * Chooses up to three dishes for what is in the house and keeps them for her to choose from; those that lack one thing come
 * in only when nothing can be made now.
 * @returns the flow that asks which, or undefined when there is none: then she is told so
 */
export function offerDishes(
  draft: Draft,
  told: readonly string[],
  unsure: readonly string[],
): string | undefined {
  const mother = writingMother(draft);
  if (mother === undefined) return undefined;
  const { world } = draft;
  const { dishes, foods } = world.content.food;
  const day = world.calendar.day(world.now);
  const before = foodOf(mother).cooking;
  // "Tell me two or three more things": what she told before is still in the house.
  const more = before !== null && before.day === day && before.dishes.length === 0 ? before.kitchen : [];
  const kitchen = [...new Set([...more, ...told])];
  const her = lineFood(draft.state);
  const choice = chooseDishes(
    {
      kitchen,
      her,
      groupGaps: gapsOf(mother, day),
      short: [],
      need: needOf(mother, world),
      offered: offeredLately(mother, day),
      month: Number(day.slice(5, 7)),
    },
    dishes,
    foods,
  );
  const now = choice.now.map((made) => keptOf(made, null));
  const lacking = choice.missingOne.flatMap(({ dish, missing }): readonly KeptDish[] => {
    const food = missing[0];
    const way =
      food === undefined ? undefined : waysToMake(dish, larder([...kitchen, food], dishes, foods, her))[0];
    return way === undefined || food === undefined ? [] : [keptOf(way, food)];
  });
  const offer = (now.length > 0 ? now : lacking).slice(0, mostOffered);
  note(draft, 'kitchen', { has: kitchen, offered: offer.map(({ dish }) => dish) });
  keepFood(draft, {
    cooking: { day, kitchen, unsure, dishes: offer, chosen: null, at: 0 },
    offers: [...foodOf(mother).offers, ...offer.map(({ dish }) => ({ dish, day, cooked: false }))].slice(
      -keptOffers,
    ),
  });
  if (offer.length > 0) return 'cook-pick';
  say(draft, 'dishTalk.nothing');
  return undefined;
}

/** What her last seven days lacked, from what she told. */
function gapsOf(mother: Mother, day: string) {
  const recalls = foodOf(mother).recalls.filter((recall) => daysBetween(recall.day, day) <= weekDays);
  return weekGaps(recalls, herFood(mother));
}

function offeredLately(mother: Mother, day: string): Readonly<Record<string, number>> {
  const days: Record<string, number> = {};
  for (const offer of foodOf(mother).offers) days[offer.dish] = Math.max(0, daysBetween(offer.day, day));
  return days;
}

const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);

/** She chose one: it is told from its first message on. */
export function takeDish(draft: Draft, run: Run): string | undefined {
  const { cooking } = foodOf(writingMother(draft));
  const chosen = Number(run.answers['dish']) - 1;
  if (cooking === null || cooking.dishes[chosen] === undefined) {
    say(draft, 'kitchen.later');
    return undefined;
  }
  keepFood(draft, { cooking: { ...cooking, chosen, at: 0 } });
  note(draft, 'dish-chosen', { dish: cooking.dishes[chosen].dish });
  return 'cook-step';
}

/** On to the next message of the dish; the last one is told with a good wish, and the dish is marked as cooked. */
export function tellNext(draft: Draft, run: Run): string | undefined {
  const mother = writingMother(draft);
  const { cooking, offers } = foodOf(mother);
  const kept = cooking?.dishes[cooking.chosen ?? -1];
  const made = kept === undefined ? undefined : madeOf(kept, draft.world.content.food);
  if (mother === undefined || cooking === null || kept === undefined || made === undefined) {
    say(draft, 'kitchen.later');
    return undefined;
  }
  const lacks = run.answers['onward'];
  if (typeof lacks === 'string') return standIn(draft, mother, cooking, kept, lacks.split(','));
  const messages = dishMessages(made, mother, draft.state, draft.world, draft.channel);
  const at = cooking.at + 1;
  if (at < messages.length - 1) {
    keepFood(draft, { cooking: { ...cooking, at } });
    return 'cook-step';
  }
  say(draft, 'kitchen.last', { step: messages.at(-1) ?? '' });
  note(draft, 'dish-told', { dish: kept.dish });
  const which = offers.map(({ dish }) => dish).lastIndexOf(kept.dish);
  keepFood(draft, {
    cooking: null,
    offers: offers.map((offer, i) => (i === which ? { ...offer, cooked: true } : offer)),
  });
  return undefined;
}

/** She lacks something of the dish: what may stand in for it, from her house first; else another dish. */
function standIn(
  draft: Draft,
  mother: Mother,
  cooking: Cooking,
  kept: KeptDish,
  lacks: readonly string[],
): string | undefined {
  const { food } = draft.world.content;
  const her = lineFood(draft.state);
  const dish = food.dishes.byId.get(kept.dish);
  const kitchen = cooking.kitchen.filter((id) => !lacks.includes(id));
  let foods = kept.foods;
  const told: { food: string; instead: string }[] = [];
  for (const [place, lacking] of kept.foods.entries()) {
    if (!lacks.includes(lacking)) continue;
    const options = (dish?.needs[place]?.options ?? [])
      .map((option) => option.food)
      .filter((id) => {
        const one = food.foods.get(id);
        return one !== undefined && !lacks.includes(id) && !foods.includes(id) && mayEat(one, her);
      });
    const instead = options.find((id) => kitchen.includes(id)) ?? options[0];
    if (instead === undefined) {
      // Nothing stands in for it: she is offered what can be made without it.
      say(draft, 'kitchen.no-stand-in', { food: nameOf(draft, lacking) });
      keepFood(draft, { cooking: { ...cooking, kitchen } });
      return offerDishes(draft, kitchen, []);
    }
    foods = foods.map((id, at) => (at === place ? instead : id));
    told.push({ food: nameOf(draft, lacking), instead: nameOf(draft, instead) });
  }
  const changed = { ...kept, foods };
  const made = madeOf(changed, food);
  const start = made === undefined || cooking.at < messagesBefore(made, mother, draft.state, draft.world);
  // What to take is told anew, and names the stand-in by itself.
  if (!start) for (const values of told) say(draft, 'dishTalk.instead', values);
  const dishes = cooking.dishes.map((one, at) => (at === cooking.chosen ? changed : one));
  keepFood(draft, { cooking: { ...cooking, kitchen, dishes, at: start ? 0 : cooking.at } });
  return 'cook-step';
}

const nameOf = (draft: Draft, id: string): string =>
  foodWords(draft.state, draft.world, draft.channel)(`food.${id}`);
