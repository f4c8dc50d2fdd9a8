import { expect, test, vi } from 'vitest';
import { sharedLook } from '../../src/web/shared-look.ts';

test('all who ask within the time get one look, and the next looks anew', async () => {
  vi.useFakeTimers({ toFake: ['performance'] });
  try {
    let looks = 0;
    const ask = sharedLook(1_000, async () => ++looks);
    expect(await Promise.all([ask(), ask(), ask()])).toEqual([1, 1, 1]);
    vi.advanceTimersByTime(999);
    expect(await ask()).toBe(1);
    vi.advanceTimersByTime(1);
    expect(await ask()).toBe(2);
  } finally {
    vi.useRealTimers();
  }
});

test('a look that failed is told to all who asked, and tried again afterwards', async () => {
  vi.useFakeTimers({ toFake: ['performance'] });
  try {
    let works = false;
    const ask = sharedLook(1_000, async () => {
      if (!works) throw new Error('away');
      return 'here';
    });
    await expect(ask()).rejects.toThrow('away');
    works = true;
    await expect(ask()).rejects.toThrow('away');
    vi.advanceTimersByTime(1_000);
    expect(await ask()).toBe('here');
  } finally {
    vi.useRealTimers();
  }
});
