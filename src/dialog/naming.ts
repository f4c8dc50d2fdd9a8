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

/**
 * A text with each baby's name of the line said as "baby", for reading whose sign it tells of: a mother writes "Tara is yellow",
 * and no list of words knows Tara.
 */
export function withBabiesNamed(text: string, mothers: readonly Mother[]): string {
  const names = mothers.flatMap((m) =>
    m.babies.flatMap((b) => (b.name === null || b.name.length < 2 ? [] : [b.name])),
  );
  // Most texts name nobody, and making the search costs more than looking whether it would find anything.
  const lower = text.toLowerCase();
  const possible = names.filter((name) => lower.includes(name.toLowerCase()));
  return possible.reduce((said, name) => {
    const plain = name.replace(/[.*+?^${}()|[\]\\]/gu, '\\$&');
    return said.replace(new RegExp(`(?<![\\p{L}\\p{M}])${plain}(?![\\p{L}\\p{M}])`, 'giu'), 'baby');
  }, text);
}
