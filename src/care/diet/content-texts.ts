import type { z } from 'zod';
import { asks, type customsFile } from './customs.ts';
import { dishCautions } from './dish-cautions.ts';
import type { dishesFile } from './dishes.ts';
import { foodGroups } from './food-groups.ts';
import { type foodsFile, measures } from './foods.ts';
import { nutrients } from './nutrients.ts';

type Content = {
  readonly foods: z.infer<typeof foodsFile>['foods'];
  readonly dishes: z.infer<typeof dishesFile>['dishes'];
  readonly customs: z.infer<typeof customsFile>['customs'];
};

/** Most places of a text, 7-bit and UCS-2: one text, a step of two UCS-2 parts, a message of two 7-bit or three UCS-2 parts. */
export const budgets = {
  name: { sevenBit: 45, ucs2: 45 },
  step: { sevenBit: 150, ucs2: 134 },
  message: { sevenBit: 306, ucs2: 201 },
  any: { sevenBit: 600, ucs2: 400 },
} as const;
export type Budget = keyof typeof budgets;

/** One text that every language must have: in which file, where, how long at most, and what can fill it at the longest. */
export interface WantedText {
  readonly file: 'foods' | 'dishes' | 'customs';
  readonly at: readonly string[];
  readonly budget: Budget;
  /** By the name of a value, the foods whose names can fill it. A text may use no other. */
  readonly filled: Readonly<Record<string, readonly string[]>>;
}

/** Values that are no food's name, with their longest as digits or a short list; the dialog keeps them short. */
export const otherValues: Readonly<Record<string, number>> = {
  hours: 2,
  minutes: 3,
  list: 90,
  dish: 40,
  missing: 24,
  instead: 24,
};

/** All texts that the foods, dishes and customs need. */
export function wantedTexts({ foods, dishes, customs }: Content): readonly WantedText[] {
  const wanted: WantedText[] = [];
  const want = (
    file: WantedText['file'],
    at: readonly string[],
    budget: Budget,
    filled: WantedText['filled'] = {},
  ): void => {
    wanted.push({ file, at, budget, filled });
  };
  for (const id of Object.keys(foods)) {
    want('foods', ['food', id], 'name');
    want('foods', ['foodSpelled', id], 'any');
  }
  for (const group of foodGroups) {
    want('foods', ['foodGroup', group], 'name');
    const food = Object.entries(foods).flatMap(([id, one]) =>
      one.group === group && one['used-as'] === 'food' ? [id] : [],
    );
    want('foods', ['smallStep', group], 'step', { food });
  }
  want('foods', ['smallStep', 'none'], 'step');
  for (const measure of measures) want('foods', ['measure', measure], 'name');
  for (const nutrient of [
    'energy',
    ...nutrients.filter((one) => one !== 'fat' && one !== 'carbs'),
    'iodine',
    'vitaminD',
  ]) {
    want('foods', ['nutrient', nutrient], 'name');
  }
  for (const [id, dish] of Object.entries(dishes)) {
    want('dishes', ['dish', id, 'name'], 'name');
    const filled = Object.fromEntries(
      dish.needs.flatMap(({ as, food, instead }) =>
        as === undefined ? [] : [[as, [food, ...Object.keys(instead ?? {})]]],
      ),
    );
    for (let step = 1; step <= dish.steps; step++) want('dishes', ['dish', id, String(step)], 'step', filled);
  }
  for (const caution of dishCautions) want('dishes', ['dishCaution', caution], 'step');
  for (const talk of ['pick', 'nothing', 'one-missing', 'instead', 'needs', 'rich-in']) {
    want('dishes', ['dishTalk', talk], 'message', talk === 'instead' ? { food: Object.keys(foods) } : {});
  }
  for (const id of Object.keys(customs)) {
    want('customs', ['custom', id, 'name'], 'name');
    want('customs', ['custom', id, 'known'], 'step');
    want('customs', ['customSpelled', id], 'any');
  }
  for (const talk of [
    'drain',
    'fine-food',
    'fine-powder',
    'fine-custom',
    'fine-harm',
    'ask',
    'ask-more',
    'gains',
  ]) {
    want('customs', ['customTalk', talk], 'step');
  }
  for (const ask of asks) want('customs', ['customAsk', ask], 'name');
  return wanted;
}
