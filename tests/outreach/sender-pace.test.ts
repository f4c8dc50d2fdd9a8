import { describe, expect, it } from 'vitest';
import { senderPace } from '../../src/outreach/sender-pace.ts';

describe('the pace of the sender', () => {
  it('never lets more through than the rate and two seconds` worth, over any span', () => {
    const pace = senderPace(1);
    let sent = 0;
    for (let now = 0; now <= 60_000; now += 125) {
      const free = pace.free(now);
      pace.spend(free);
      sent += free;
    }
    expect(sent).toBe(62);
  });

  it('lets a slow rate through too: one in five seconds', () => {
    const pace = senderPace(0.2);
    pace.spend(pace.free(0));
    const at = Array.from({ length: 30 }, (_, s) => s * 1000).filter((now) => {
      const free = pace.free(now);
      pace.spend(free);
      return free > 0;
    });
    expect(at).toEqual([5000, 10_000, 15_000, 20_000, 25_000]);
  });

  it('has no limit where none is set, but keeps a pause', () => {
    const pace = senderPace(undefined);
    expect(pace.free(0)).toBe(Infinity);
    pace.pauseUntil(5_000);
    pace.pauseUntil(2_000);
    expect([pace.free(4_999), pace.free(5_000)]).toEqual([0, Infinity]);
  });

  it('fills nothing while the clock runs back', () => {
    const pace = senderPace(1);
    pace.spend(pace.free(100_000));
    expect([pace.free(50_000), pace.free(50_500)]).toEqual([0, 0]);
  });
});
