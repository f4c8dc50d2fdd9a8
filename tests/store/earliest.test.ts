import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { earliest, type Waiting } from '../../src/store/redis/earliest.ts';
import { takeInOrder } from '../../src/store/redis/take.ts';

const inShard = (shard: number, orders: readonly number[]): Waiting[] =>
  orders.toSorted((a, b) => a - b).map((order, n) => ({ shard, id: `${shard}-${n}`, order }));

describe('the earliest of all shards', () => {
  it('stops where a shard may hold more that was not shown', () => {
    const lists = [inShard(0, [1, 2]), inShard(1, [5, 6, 7])];
    // Shard 0 showed two of perhaps more: nothing after 2 is known to be next.
    expect(earliest(lists, 10, (list) => list.length === 2).map(({ order }) => order)).toEqual([1, 2]);
    expect(earliest(lists, 10, () => false).map(({ order }) => order)).toEqual([1, 2, 5, 6, 7]);
    expect(earliest([], 10, () => false)).toEqual([]);
  });

  it('is taken whole and in order, however the work is spread', async () => {
    const spread = fc.array(fc.array(fc.integer({ min: 0, max: 1_000 }), { maxLength: 60 }), {
      minLength: 1,
      maxLength: 5,
    });
    await fc.assert(
      fc.asyncProperty(spread, fc.integer({ min: 1, max: 120 }), async (orders, limit) => {
        const left = orders.map((some, shard) => inShard(shard, some));
        const taken = await takeInOrder<number>(left.length, limit, {
          peek: (shard, some) => Promise.resolve((left[shard] ?? []).slice(0, some)),
          take(shard, ids) {
            const given = (left[shard] ?? []).filter(({ id }) => ids.includes(id));
            left[shard] = (left[shard] ?? []).filter(({ id }) => !ids.includes(id));
            return Promise.resolve(given.map(({ id, order }) => ({ id, taken: order })));
          },
        });
        expect(taken).toEqual(
          orders
            .flat()
            .toSorted((a, b) => a - b)
            .slice(0, limit),
        );
      }),
    );
  });
});
