import { describe, expect, it, vi } from 'vitest';
import { loop } from '../../src/outreach/loop.ts';

describe('a loop', () => {
  it('runs one at a time, and once more for all who asked during a run', async () => {
    const begun: (() => void)[] = [];
    const it = loop(
      60_000,
      () => undefined,
      () => new Promise<void>((resolve) => begun.push(resolve)),
    );
    const first = it.runNow();
    const others = [it.runNow(), it.runNow(), it.runNow()];
    expect(begun).toHaveLength(1);
    begun[0]?.();
    await first;
    await vi.waitFor(() => expect(begun).toHaveLength(2));
    begun[1]?.();
    await Promise.all(others);
    expect(begun).toHaveLength(2);
    await it.stop();
  });

  it('goes on after a run that failed, and tells of it', async () => {
    const troubles: unknown[] = [];
    let runs = 0;
    const it = loop(
      1,
      (error) => troubles.push(error),
      async () => {
        runs += 1;
        if (runs === 1) throw new Error('no');
      },
    );
    it.start();
    await vi.waitFor(() => expect(runs).toBeGreaterThan(2));
    await it.stop();
    expect(troubles).toHaveLength(1);
  });

  it('lets the run under way finish and begins no other once stopped', async () => {
    let finish = (): void => undefined;
    let runs = 0;
    const it = loop(
      1,
      () => undefined,
      () => {
        runs += 1;
        return new Promise<void>((resolve) => {
          finish = resolve;
        });
      },
    );
    void it.runNow();
    let stopped = false;
    const stopping = it.stop().then(() => {
      stopped = true;
    });
    await Promise.resolve();
    expect(stopped).toBe(false);
    finish();
    await stopping;
    await it.runNow();
    expect(runs).toBe(1);
  });
});
