import { earliest, type Waiting } from './earliest.ts';

/** How one kind of work is found and taken in a shard. */
export interface Takeable<T> {
  /** The first `limit` that could be taken, in order. */
  peek(shard: number, limit: number): Promise<readonly Waiting[]>;
  /** Takes those of the given ones that can still be taken, in the order given. */
  take(shard: number, ids: readonly string[]): Promise<readonly { readonly id: string; readonly taken: T }[]>;
}

/**
 * Takes up to `limit` over all shards in the order of the whole, not of each shard: a safety text in one shard goes before a
 * tip in another. All shards are looked into at once; then only those with work are asked to give it. Two takers may look at
 * the same work, and one of them gets it; the other looks again. What the others give is taken though one shard cannot be used.
 * @throws what a shard threw, when none gave anything
 */
export async function takeInOrder<T>(
  shardCount: number,
  limit: number,
  work: Takeable<T>,
): Promise<readonly T[]> {
  const taken: T[] = [];
  while (taken.length < limit) {
    const wanted = limit - taken.length;
    const perShard = Math.min(wanted, 16 + Math.ceil((2 * wanted) / shardCount));
    const looked = await Promise.allSettled(
      Array.from({ length: shardCount }, (_, shard) => work.peek(shard, perShard)),
    );
    const lists = looked.map((of) => (of.status === 'fulfilled' ? of.value : []));
    const chosen = earliest(lists, wanted, (list) => list.length >= perShard);
    const asked = await takeChosen(chosen, work);
    const got = asked.taken;
    taken.push(...got);
    const failure = [...looked, ...asked.failures].find((of) => of.status === 'rejected');
    if (failure !== undefined) {
      if (taken.length === 0) throw failure.reason;
      break;
    }
    if (chosen.length === 0) break;
    if (got.length === chosen.length && lists.every((list) => list.length < perShard)) break;
  }
  return taken;
}

async function takeChosen<T>(chosen: readonly Waiting[], work: Takeable<T>) {
  const byShard = new Map<number, string[]>();
  for (const { shard, id } of chosen) byShard.set(shard, [...(byShard.get(shard) ?? []), id]);
  const parts = await Promise.allSettled([...byShard].map(([shard, ids]) => work.take(shard, ids)));
  const given = parts.flatMap((part) => (part.status === 'fulfilled' ? part.value : []));
  const byId = new Map(given.map(({ id, taken }) => [id, taken]));
  const taken = chosen.flatMap(({ id }) => {
    const one = byId.get(id);
    return one === undefined ? [] : [one];
  });
  return { taken, failures: parts };
}
