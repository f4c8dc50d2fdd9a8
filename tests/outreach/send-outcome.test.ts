import { describe, expect, it } from 'vitest';
import { carrierFaults, type CarrierFault } from '../../src/channels/carrier.ts';
import { CarrierRefused, CarrierUnreachable } from '../../src/errors.ts';
import { readGiveUp } from '../../src/outreach/give-up.ts';
import { jitterOf } from '../../src/outreach/jitter.ts';
import { failedOutcome } from '../../src/outreach/send-outcome.ts';
import type { MessagePurpose } from '../../src/store/store.ts';
import { taken } from './stand-in-store.ts';

const now = 1_000_000;
const refused = (fault: CarrierFault, retryAfterMs?: number) =>
  new CarrierRefused('no', 1, 400, { fault, retryAfterMs });
const outcome = (purpose: MessagePurpose, error: unknown, of: Parameters<typeof taken>[2] = {}) =>
  failedOutcome(taken('m', purpose, of), error, now);

describe('what comes of a message that the carrier did not take', () => {
  // Give up or try again, by fault: the actions of the carrier's error dictionary, common practice where it names none.
  const forGood: readonly CarrierFault[] = ['wrong-number', 'landline', 'opted-out', 'refused', 'too-late'];
  it.each(carrierFaults)(
    '%s: gives up what would fail for ever, and nothing else, at the first try',
    (fault) => {
      for (const purpose of ['safety', 'alert', 'check-in'] as const)
        expect(outcome(purpose, refused(fault)).kind).toBe(forGood.includes(fault) ? 'gave-up' : 'again');
    },
  );

  it.each(carrierFaults.filter((f) => !forGood.includes(f)))('%s: a routine message has an end', (fault) => {
    expect(outcome('tip', refused(fault), { attempts: 40 }).kind).toBe('gave-up');
  });

  it('goes on with an alert for as long as the fault is known, and gives up on one that nobody knows', () => {
    expect(outcome('alert', refused('set-up'), { attempts: 500 }).kind).toBe('again');
    expect(outcome('safety', new CarrierUnreachable('x', false), { attempts: 500 }).kind).toBe('again');
    // Given up is told to the line, so that the alert climbs at once and is not tried in vain for hours.
    expect(outcome('alert', refused('unknown'), { attempts: 2 }).kind).toBe('gave-up');
  });

  it('waits as long as the carrier asks', () => {
    const again = outcome('alert', refused('busy', 42_000));
    expect(again.kind === 'again' && again.at - now).toBe(42_000);
  });

  it('waits twice as long each time, up to 15 minutes, an alert up to 2', () => {
    const waits = (purpose: MessagePurpose) =>
      [0, 1, 2, 3, 6].map((attempts) => {
        const again = outcome(purpose, refused('busy'), { attempts });
        return again.kind === 'again' ? again.at - now : -1;
      });
    for (const [i, most] of [5_000, 10_000, 20_000, 40_000, 320_000].entries()) {
      expect(waits('tip')[i]).toBeGreaterThanOrEqual(most / 2);
      expect(waits('tip')[i]).toBeLessThanOrEqual(most);
    }
    expect(Math.max(...waits('alert'))).toBeLessThanOrEqual(120_000);
  });

  it('does not wait for a moment at which it would be too late', () => {
    expect(outcome('check-in', refused('busy', 30_000), { sendBefore: now + 29_999 }).kind).toBe('gave-up');
    expect(outcome('check-in', refused('busy', 30_000), { sendBefore: now + 30_000 }).kind).toBe('again');
  });

  it('tells from what is kept why it was given up', () => {
    const lost = outcome('tip', new CarrierUnreachable('x', true));
    expect(readGiveUp(lost.kind === 'gave-up' ? lost.why : null)).toEqual({
      status: 'not-sent',
      fault: null,
      errorCode: null,
      mayHaveBeenSent: true,
    });
    const dead = outcome('tip', new CarrierRefused('no', 21614, 400, { fault: 'landline' }));
    expect(readGiveUp(dead.kind === 'gave-up' ? dead.why : null)).toEqual({
      status: 'not-sent',
      fault: 'landline',
      errorCode: 21614,
    });
    expect(readGiveUp('too late to send')).toMatchObject({ fault: 'too-late' });
  });
});

describe('the jitter', () => {
  it('is the same for the same message and try, and spreads messages evenly', () => {
    const all = Array.from({ length: 10_000 }, (_, i) => jitterOf(`line.${i}.0`, 1));
    expect(jitterOf('line.7.0', 1)).toBe(all[7]);
    expect(jitterOf('line.7.0', 2)).not.toBe(all[7]);
    // Ten bins of a uniform spread: chi-squared with 9 degrees of freedom is below 27.9 in 999 of 1000 cases (standard tables).
    const bins = Array.from({ length: 10 }, (_, b) => all.filter((j) => Math.floor(j * 10) === b).length);
    expect(bins.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0)).toBeLessThan(27.9);
  });
});
