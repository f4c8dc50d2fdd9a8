import type { NamesReader } from '../../language/food-names.ts';
import type { Foods } from './foods.ts';

/** What is in her house, as read from one text. */
export interface Kitchen {
  /** Foods by name, each once, in the order told. */
  readonly has: readonly string[];
  /** Foods that she said are not there. */
  readonly lacks: readonly string[];
  /** Read past a mistyping: to be said back to her with the dishes. */
  readonly unsure: readonly string[];
  /** Words that are no food known here. */
  readonly unread: readonly string[];
}

/** Reads a list such as 'palak besan anda' in any script, language and spelling. What she says is not there is never taken as there. */
export function readKitchen(text: string, read: NamesReader, foods: Foods): Kitchen {
  const { things, unread } = read(text);
  const known = things.filter(({ id }) => foods.has(id));
  const lacks = new Set(known.filter(({ negated }) => negated).map(({ id }) => id));
  const has = new Set(known.filter(({ id }) => !lacks.has(id)).map(({ id }) => id));
  const doubtful = new Set(known.filter(({ sure, id }) => !sure && has.has(id)).map(({ id }) => id));
  return { has: [...has], lacks: [...lacks], unsure: [...doubtful], unread };
}
