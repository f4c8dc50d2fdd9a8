/** Days of the week as the rota file names them, Monday first. */
export const weekdays = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
export type Weekday = (typeof weekdays)[number];

/** Who is on duty when, on the programme's clock. Plain data, read from the rota file. */
export interface RotaPlan {
  readonly week: readonly Shift[];
  readonly swaps: readonly Swap[];
  readonly holidays: readonly Holiday[];
  /** Minutes after raising at which an alert that nobody took climbs; rising. Undefined: the usual ones. */
  readonly climbMinutes: { readonly A?: readonly number[]; readonly B?: readonly number[] };
}

/** Every week: from one minute of the local day to another; one that is not later is on the next day. */
export interface Shift {
  readonly who: string;
  readonly days: readonly Weekday[];
  readonly fromMinuteOfDay: number;
  readonly toMinuteOfDay: number;
}

/** `to` does what `from` would do in the shifts that begin on that day. */
export interface Swap {
  readonly from: string;
  readonly to: string;
  readonly day: string;
}

/** Away in all shifts that begin on these local days, both included. */
export interface Holiday {
  readonly who: string;
  readonly firstDay: string;
  readonly lastDay: string;
}
