/**
 * How fast the sender may hand messages to the carrier: a bucket that fills with so many a second and holds two seconds' worth, so
 * that a long number's queue at the carrier never fills up. A pause, asked for by the carrier, stops everything.
 */
export interface SenderPace {
  /** How many may be sent at `now`, 0 or more; Infinity without a limit. */
  free(now: number): number;
  spend(count: number): void;
  /** Nothing more until then, epoch milliseconds; a shorter pause does not end a longer one. */
  pauseUntil(at: number): void;
}

/** @param perSecond messages a second, above 0; undefined for no limit */
export function senderPace(perSecond: number | undefined): SenderPace {
  const most = perSecond === undefined ? Infinity : Math.max(1, perSecond * 2);
  let tokens = most;
  let filledAt: number | undefined;
  let pausedUntil = 0;
  return {
    free(now) {
      if (now < pausedUntil) return 0;
      if (perSecond === undefined) return Infinity;
      // A clock that is put back fills nothing.
      const passedMs = Math.max(0, now - (filledAt ?? now));
      tokens = Math.min(most, tokens + (passedMs / 1000) * perSecond);
      filledAt = now;
      return Math.floor(tokens);
    },
    spend(count) {
      tokens -= count;
    },
    pauseUntil(at) {
      pausedUntil = Math.max(pausedUntil, at);
    },
  };
}
