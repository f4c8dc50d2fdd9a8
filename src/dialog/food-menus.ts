import { kitchenPages } from '../care/diet/kitchen-menu.ts';
import type { Channel } from '../language/wording.ts';
import type { Run } from './dialog-context.ts';
import type { Field } from './flow.ts';
import { customPages } from './food-customs.ts';
import type { KeptDish } from './food-kept.ts';
import { foodOf, lineFood } from './food-of-her.ts';
import { dishMessages, fitsMessage, madeOf } from './food-telling.ts';
import { type FoodWords, foodWords } from './food-words.ts';
import type { LineState } from './line.ts';
import type { World } from './world.ts';

/** The foods of one page of the kitchen, for her, in this month. @param page 1-4 */
export function kitchenPage(page: number, state: LineState, world: World): readonly string[] {
  const mother = state.mothers[state.writing];
  if (mother === undefined) return [];
  const { dishes, foods } = world.content.food;
  const month = Number(world.calendar.day(world.now).slice(5, 7));
  return kitchenPages(dishes, foods, lineFood(state), month)[page - 1] ?? [];
}

/** The names in a menu, in its order. */
export function menuNames(
  field: Field,
  run: Run,
  state: LineState,
  world: World,
  channel: Channel,
): readonly string[] {
  const words = foodWords(state, world, channel);
  switch (field.of) {
    case 'dishes':
      return offered(state).map((kept) => dishName(kept, words));
    case 'customs':
      return (customPages(world.content.food)[Number(run.answers['about']) - 1] ?? []).map((id) =>
        words(`custom.${id}.name`),
      );
    case 'kitchen-1':
    case 'kitchen-2':
    case 'kitchen-3':
    case 'kitchen-4':
      return kitchenPage(Number(field.of.slice(-1)), state, world).map((id) => words(`food.${id}`));
    case undefined:
      return [];
    default:
      return field.of satisfies never;
  }
}

/** What fills a question about food: the menu in words, or the message of the dish that she is at. */
export function foodValues(
  field: Field,
  run: Run,
  state: LineState,
  world: World,
  channel: Channel,
): Readonly<Record<string, string>> {
  const words = foodWords(state, world, channel);
  if (field.kind === 'go-on') return { step: stepWords(state, world, channel) };
  if (field.kind !== 'menu') return {};
  const names = menuNames(field, run, state, world, channel);
  const list =
    channel === 'voice'
      ? names.map((name, at) => words('menu.item', { number: at + 1, name })).join(' ')
      : names.map((name, at) => `${at + 1} ${name}`).join(', ');
  return { list, read: field.of === 'dishes' ? readBack(list, state, words) : '' };
}

const offered = (state: LineState): readonly KeptDish[] =>
  foodOf(state.mothers[state.writing]).cooking?.dishes ?? [];

const dishName = (kept: KeptDish, words: FoodWords): string => {
  const dish = words(`dish.${kept.dish}.name`);
  return kept.missing === null
    ? dish
    : words('kitchen.dish-with', { dish, food: words(`food.${kept.missing}`) });
};

/** Says back what was read past a mistyping, if it fits beside the dishes. */
function readBack(list: string, state: LineState, words: FoodWords): string {
  const unsure = foodOf(state.mothers[state.writing]).cooking?.unsure ?? [];
  if (unsure.length === 0) return '';
  const read = words('kitchen.read', { list: unsure.map((id) => words(`food.${id}`)).join(', ') });
  return fitsMessage(`${words('ask.cook-pick.dish.ask', { list, read: '' })} ${read}`) ? `${read} ` : '';
}

function stepWords(state: LineState, world: World, channel: Channel): string {
  const mother = state.mothers[state.writing];
  const { cooking } = foodOf(mother);
  const kept = cooking?.dishes[cooking.chosen ?? -1];
  const made = kept === undefined ? undefined : madeOf(kept, world.content.food);
  if (mother === undefined || cooking === null || made === undefined) return '';
  const message = dishMessages(made, mother, state, world, channel)[cooking.at] ?? '';
  const tail = foodWords(state, world, channel)('kitchen.onward');
  return channel === 'voice' || fitsMessage(`${message} ${tail}`) ? `${message} ${tail}` : message;
}
