import { readKitchen } from '../care/diet/kitchen.ts';
import type { Field } from './flow.ts';
import type { AnswerScalar } from './line.ts';
import type { World } from './world.ts';

/**
 * A text as the answer to a question about food that no other reader knows: the foods in the house, joined by commas, or
 * anything at all to go on; what she says she lacks comes as foods joined by commas. Undefined: not understood.
 */
export function readFoodText(field: Field, text: string, world: World): AnswerScalar | undefined {
  const { foods, readFoods } = world.content.food;
  const { has, lacks } = readKitchen(text, readFoods, foods);
  if (field.kind === 'go-on')
    return lacks.length > 0 ? lacks.join(',') : text.trim() === '' ? undefined : true;
  return has.length > 0 ? has.join(',') : undefined;
}

/** Keys as the answer: any key goes on; 1 asks for the kitchen by pages. */
export function readFoodKeys(field: Field, digits: string): AnswerScalar | undefined {
  if (field.kind === 'go-on') return digits === '' ? undefined : true;
  return digits === '1' ? 'keys' : undefined;
}
