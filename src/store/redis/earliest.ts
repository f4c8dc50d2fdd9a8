/** Something that waits in a shard, and its place in the order: lower first. */
export interface Waiting {
  readonly shard: number;
  readonly id: string;
  readonly order: number;
}

/**
 * The first of all shards together. Each list is in order and is the head of its shard; `full` says that there may be more
 * behind it, so the merge ends where such a list does: what follows is not known to be next.
 */
export function earliest(
  lists: readonly (readonly Waiting[])[],
  limit: number,
  full: (list: readonly Waiting[]) => boolean,
): readonly Waiting[] {
  const horizon = Math.min(...lists.filter(full).map((list) => list.at(-1)?.order ?? Infinity), Infinity);
  return lists
    .flatMap((list) => list.filter(({ order }) => order <= horizon))
    .sort((a, b) => a.order - b.order || (a.id < b.id ? -1 : 1))
    .slice(0, limit);
}
