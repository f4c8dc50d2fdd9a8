import type { Channel } from '../language/wording.ts';
import type { Mother } from './line.ts';
import type { World } from './world.ts';

/** How a baby is named to its mother: by name; "your baby"; of twins or triplets, "the first baby". */
export function babyWords(
  mother: Mother | undefined,
  index: number,
  count: number,
  language: string,
  world: World,
  channel: Channel,
): string {
  const name = mother?.babies[index]?.name;
  if (name !== null && name !== undefined) return name;
  return world.content.wording.say(count <= 1 ? 'baby.only' : `baby.${index + 1}`, {}, language, channel);
}
