import { describe, expect, it } from 'vitest';
import { takeInOrder, type Takeable } from '../../src/store/redis/take.ts';

/** Shards that hold work by order; those named throw when they are looked into, or when they are asked for it. */
function shards(
  held: readonly (readonly number[])[],
  broken: { readonly peek?: readonly number[]; readonly take?: readonly number[] } = {},
): Takeable<number> {
  const left = held.map((of) => new Set(of));
  return {
    peek: (shard, limit) => {
      if (broken.peek?.includes(shard) === true) return Promise.reject(new Error(`shard ${shard}`));
      const waiting = [...(left[shard] ?? [])].toSorted((a, b) => a - b).slice(0, limit);
      return Promise.resolve(waiting.map((order) => ({ shard, id: String(order), order })));
    },
    take: (shard, ids) => {
      if (broken.take?.includes(shard) === true) return Promise.reject(new Error(`shard ${shard}`));
      const taken = ids.filter((id) => left[shard]?.delete(Number(id)) === true);
      return Promise.resolve(taken.map((id) => ({ id, taken: Number(id) })));
    },
  };
}

describe('work that lies in many shards', () => {
  it('is taken in the order of the whole', async () => {
    expect(await takeInOrder(3, 4, shards([[5, 1], [2, 9], [3]]))).toEqual([1, 2, 3, 5]);
  });

  it('is taken from the others where one cannot be looked into or gives nothing', async () => {
    expect(await takeInOrder(3, 9, shards([[5, 1], [2, 9], [3]], { peek: [1] }))).toEqual([1, 3, 5]);
    expect(await takeInOrder(3, 9, shards([[5, 1], [2, 9], [3]], { take: [1] }))).toEqual([1, 3, 5]);
  });

  it('fails when nothing else could be taken, so that the trouble is told', async () => {
    const only = { peek: [1] };
    await expect(takeInOrder(2, 9, shards([[], [1]], only))).rejects.toThrow('shard 1');
    await expect(takeInOrder(2, 9, shards([[], [1]], { take: [1] }))).rejects.toThrow('shard 1');
  });
});
