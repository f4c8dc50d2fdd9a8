import type { Custom } from '../care/diet/customs.ts';
import { mayEat } from '../care/diet/her-food.ts';
import { readKitchen } from '../care/diet/kitchen.ts';
import { type Draft, note, say, writingMother } from './draft.ts';
import { offerDishes } from './food-cook.ts';
import { tellCustom } from './food-customs.ts';
import { lineFood } from './food-of-her.ts';
import type { World } from './world.ts';

/** What a text about food was taken for: something was told, or a flow asks on. Undefined: it is about something else. */
export type FoodTaken = 'told' | { readonly opens: string } | undefined;

const fewestFoods = 2;

/**
 * A text while nothing is being asked: the things in her kitchen ('palak besan anda'), or a question about a powder, a food or
 * a custom. Anything that may be about the baby's feeding is left alone.
 */
export function takeFoodText(draft: Draft, body: string): FoodTaken {
  const { world } = draft;
  const { food, wordLists } = world.content;
  // Figures alone name no food: most answers are figures, and looking for names costs more than the rest of the turn.
  if (writingMother(draft) === undefined || !/\p{L}/u.test(body)) return undefined;
  const kitchen = readKitchen(body, food.readFoods, food.foods);
  const asks = /[?？]/u.test(body) || wordLists.holds(body, 'kitchen.word.question');
  const eats = wordLists.holds(body, 'kitchen.word.eating');
  const wantsToCook = wordLists.holds(body, 'kitchen.word.cook');
  const isList = kitchen.has.length >= fewestFoods && kitchen.unread.length * 3 <= kitchen.has.length;
  if ((isList && !eats && (!asks || wantsToCook)) || (wantsToCook && kitchen.has.length > 0)) {
    const opens = offerDishes(draft, kitchen.has, kitchen.unsure);
    return opens === undefined ? 'told' : { opens };
  }
  const custom = askedAbout(body, asks, eats, world);
  if (custom !== undefined) {
    tellCustom(draft, custom);
    return 'told';
  }
  return wantsToCook && asks ? { opens: 'cook' } : plainFood(draft, body, asks && eats);
}

/**
 * Whether a text names the foods of a kitchen and nothing else. Then a danger word that is only a food's own name ("besan",
 * "jowar", "moth" of Hindi) is no danger; with any word beside that is no food, it stays one.
 * @param matched the words that were taken for a danger
 */
export function namesOnlyFood(
  body: string,
  matched: readonly string[],
  isAsked: boolean,
  world: World,
): boolean {
  const { things, unread } = world.content.food.readFoods(body);
  if (unread.length > 0 || things.length < (isAsked ? 1 : fewestFoods)) return false;
  if (world.content.wordLists.holds(body, 'kitchen.word.baby')) return false;
  const names = new Set(things.flatMap(({ sure, words }) => (sure ? wordsOf(words) : [])));
  return matched.every((words) => wordsOf(words).every((word) => names.has(word)));
}

const wordsOf = (text: string): readonly string[] =>
  text
    .toLowerCase()
    .split(/\s+/u)
    .filter((w) => w !== '');

/** The custom that a text asks about: what harms goes first, then a powder, then the first named. */
function askedAbout(body: string, asks: boolean, eats: boolean, world: World): Custom | undefined {
  const { things, unread } = world.content.food.readCustoms(body);
  const ofBaby = world.content.wordLists.holds(body, 'kitchen.word.baby');
  const named = things.flatMap((thing) => {
    const custom = world.content.food.customs.get(thing.id);
    // Milk, water or "powder" is in many a sentence about the baby: taken as a question only when she asks of eating it herself.
    const isGeneral = world.content.wordLists.holds(thing.words, 'kitchen.word.general');
    const isAsked = isGeneral
      ? asks && eats && !ofBaby && !thing.negated
      : asks || eats || unread.length === 0;
    return custom === undefined || !isAsked || !thing.sure ? [] : [custom];
  });
  return named.find(({ kind }) => kind === 'harm') ?? named.find(({ kind }) => kind === 'powder') ?? named[0];
}

/** One food that she asks whether she may eat. */
function plainFood(draft: Draft, body: string, asksToEat: boolean): FoodTaken {
  const { world } = draft;
  const { food } = world.content;
  if (!asksToEat) return undefined;
  if (world.content.wordLists.holds(body, 'kitchen.word.baby')) return undefined;
  const { things } = food.readFoods(body);
  const asked = things.flatMap(({ id, sure }) => (sure ? (food.foods.get(id) ?? []) : []));
  if (asked.length === 0) return undefined;
  const isFine = asked.every((one) => mayEat(one, lineFood(draft.state)));
  if (isFine) {
    say(draft, 'kitchen.plain-food');
    say(draft, 'customTalk.drain');
  } else say(draft, 'kitchen.not-for-you');
  note(draft, 'asked-about-food', { foods: asked.map(({ id }) => id) });
  return 'told';
}
