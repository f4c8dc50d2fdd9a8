import { type Custom, customAnswer } from '../care/diet/customs.ts';
import type { Run } from './dialog-context.ts';
import { type Draft, note, say } from './draft.ts';
import type { FoodContent } from './food-content.ts';
import { lineFood } from './food-of-her.ts';
import { foodWords } from './food-words.ts';
import type { Say } from './line.ts';

const mostOnPage = 9;

/** What mothers ask about, by page: powders and medicines, foods in two pages, customs, what harms. At most nine each. */
export function customPages({ customs }: FoodContent): readonly (readonly string[])[] {
  const of = (kind: Custom['kind']) =>
    [...customs.values()].filter((custom) => custom.kind === kind).map(({ id }) => id);
  const foods = of('food');
  return [of('powder'), foods.slice(0, mostOnPage), foods.slice(mostOnPage), of('custom'), of('harm')].map(
    (page) => page.slice(0, mostOnPage),
  );
}

/**
 * Tells what is known of a food, powder or custom: what it is good for and that a well-drained breast makes milk now; when to
 * ask the counsellor first as a second message, so that neither is longer than a message may be.
 */
export function tellCustom(draft: Draft, custom: Custom): void {
  const words = foodWords(draft.state, draft.world, draft.channel);
  const answer = customAnswer(custom, lineFood(draft.state), draft.world.content.food.foods);
  const list = answer.asked.map((key) => words(key)).join(', ');
  const [first = [], ...later] = answer.parts;
  const says = (keys: readonly string[]): readonly Say[] =>
    keys.map((key) => (key === 'customTalk.ask-more' ? { key, values: { list } } : { key }));
  if (answer.notForHer) say(draft, 'kitchen.not-for-you');
  draft.says.push(...says(first));
  for (const part of later) {
    if (draft.channel === 'voice') draft.says.push(...says(part));
    else
      draft.sends.push({
        to: { kind: 'line' },
        channel: 'text',
        says: says(part),
        purpose: 'reply',
        notBefore: draft.world.now + 2000,
        sendBefore: draft.world.now + 3_600_000,
      });
  }
  note(draft, 'asked-about-food', { custom: custom.id });
}

/** The one that she chose from the menus. */
export function tellChosenCustom(draft: Draft, run: Run): void {
  const { food } = draft.world.content;
  const id = customPages(food)[Number(run.answers['about']) - 1]?.[Number(run.answers['custom']) - 1];
  const custom = id === undefined ? undefined : food.customs.get(id);
  if (custom === undefined) say(draft, 'kitchen.ask-person');
  else tellCustom(draft, custom);
}
