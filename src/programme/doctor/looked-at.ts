/** One thing that was looked at before going live. `mend`: it will not work; `look`: a person should look at it; `good`: it holds. */
export interface LookedAt {
  readonly what: string;
  readonly state: 'good' | 'look' | 'mend';
  /** What was found, and, unless it is good, what to do. */
  readonly words: string;
}

export const good = (what: string, words: string): LookedAt => ({ what, state: 'good', words });
export const look = (what: string, words: string): LookedAt => ({ what, state: 'look', words });
export const mend = (what: string, words: string): LookedAt => ({ what, state: 'mend', words });
