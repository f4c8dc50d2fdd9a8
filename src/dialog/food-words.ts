import type { Channel } from '../language/wording.ts';
import type { LineState } from './line.ts';
import type { World } from './world.ts';

/** The words of one text in her language, on the channel that she uses. */
export interface FoodWords {
  (key: string, values?: Readonly<Record<string, string | number>>): string;
}

export const foodWords =
  (state: LineState, world: World, channel: Channel): FoodWords =>
  (key, values = {}) =>
    world.content.wording.say(key, values, state.language, channel);

/** A count of a household measure: "1.5 bowl" to read, "one and a half" to hear. */
export function amountWords(count: number, words: FoodWords, channel: Channel): string {
  if (channel === 'text' || Number.isInteger(count)) return String(count);
  const name = { 0.25: 'quarter', 0.5: 'half', 0.75: 'three-quarters', 1.5: 'one-half', 2.5: 'two-half' }[
    count
  ];
  if (name !== undefined) return words(`kitchen.amount.${name}`);
  if (count % 1 === 0.5) return words('kitchen.amount.and-half', { number: Math.floor(count) });
  return String(count);
}
