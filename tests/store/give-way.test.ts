import { describe, expect, it } from 'vitest';
import { openGiveWay } from '../../src/store/redis/rest/give-way.ts';

describe('work that gives way', () => {
  const busyMs = 1;
  const busy = () => {
    for (const from = performance.now(); performance.now() - from < busyMs; );
  };

  it('lets others have their turn when much of it comes at once', async () => {
    const giveWay = openGiveWay(3);
    let others = 0;
    let isDone = false;
    const count = () => {
      others += 1;
      if (!isDone) setImmediate(count);
    };
    setImmediate(count);
    const order: number[] = [];
    await Promise.all(
      Array.from({ length: 60 }, (_, n) =>
        giveWay(() => {
          busy();
          order.push(n);
        }),
      ),
    );
    isDone = true;
    expect(order).toEqual(Array.from({ length: 60 }, (_, n) => n));
    // 60 ms of work, at most 4 ms in one turn.
    expect(others).toBeGreaterThanOrEqual(14);
  });

  it('gives what the work gives, and fails as it fails without holding up the next', async () => {
    const giveWay = openGiveWay(0.000_1);
    const failing = giveWay(() => {
      throw new RangeError('no');
    });
    await expect(failing).rejects.toThrow(RangeError);
    expect(await giveWay(() => 'words')).toBe('words');
  });
});
