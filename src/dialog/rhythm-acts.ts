import type { Run } from './dialog-context.ts';
import { change, type Draft } from './draft.ts';
import type { RhythmWish } from './line.ts';
import { grantWish } from './rhythm-wish.ts';

/** What the flows about her rhythm may name in `do:`. A name that is given back is the flow to open next. */
export const rhythmActs = {
  obeyRhythmKey: (draft: Draft, run: Run): string | undefined => {
    switch (run.answers['rhythmKey']) {
      case 6:
        return wishFor(draft, { kind: 'way', by: 'call' });
      case 7:
        return wishFor(draft, { kind: 'way', by: 'text' });
      case 1:
        return 'change-hour';
      case 2:
        return 'rest';
      case 3:
        return wishFor(draft, { kind: 'resume' });
      case 4:
      case 5:
        return wishFor(draft, { kind: 'tips', wanted: run.answers['rhythmKey'] === 5 });
      default:
        return undefined;
    }
  },
  wishHour: (draft: Draft, run: Run): string | undefined => {
    const { hour } = run.answers;
    return typeof hour === 'number' ? wishFor(draft, { kind: 'hour', minuteOfDay: hour }) : undefined;
  },
  wishRest: (draft: Draft, run: Run): string | undefined => {
    const { restDays } = run.answers;
    if (typeof restDays !== 'number') return undefined;
    return wishFor(draft, { kind: 'rest', days: restDays === 0 ? null : restDays });
  },
  grantWish: (draft: Draft, run: Run): string | undefined => {
    const { wish = null } = draft.state;
    const index = Number(run.answers['who']) - 1;
    change(draft, { wish: null });
    if (wish !== null) grantWish(draft, index, wish);
    return undefined;
  },
} as const;

/**
 * Grants a wish of whoever writes. Of several mothers on the phone she is asked which she is, but for tips, which they all see.
 * @returns the flow that asks her, if she must be asked
 */
export function wishFor(draft: Draft, wish: RhythmWish): 'rhythm-who' | undefined {
  if (draft.state.mothers.length > 1 && wish.kind !== 'tips') {
    change(draft, { wish });
    return 'rhythm-who';
  }
  grantWish(draft, 0, wish);
  return undefined;
}
