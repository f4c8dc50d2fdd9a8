import type { MessagePurpose } from '../store/store.ts';
import type { Alert, Due, LineId, LineState, Mother, Say } from './line.ts';
import type { World } from './world.ts';

/**
 * A turn in the making: the line as it will be, and what it will cause. Lives inside one call of `turn` and never leaves it;
 * the pieces below change it, so that they read in the order in which things happen.
 */
export interface Draft {
  readonly lineId: LineId;
  readonly world: World;
  readonly channel: 'text' | 'voice';
  state: LineState;
  /** The state as it was when everything routine was last planned in this turn. */
  planned?: LineState;
  /** What she is told now, in order. */
  readonly says: Say[];
  /** The call ends after the words. */
  hangUp: boolean;
  /** What the dialog stands at is not asked yet: something more urgent is asked first. */
  holdAsk: boolean;
  /** On a call: one key is waited for although no dialog asks. */
  awaitKey?: boolean;
  /** The number that a counsellor on the phone is connected to after the words. */
  connectTo?: string;
  /** What her message is for, when it does not go out as a direct reply. */
  purpose: MessagePurpose;
  readonly sends: Send[];
  readonly journal: { readonly kind: string; readonly body: unknown }[];
}

/** Words for a counsellor, or a call to either; her own texts come from `says`. */
export interface Send {
  readonly to: { readonly kind: 'line' } | { readonly kind: 'counsellor'; readonly id: string };
  readonly channel: 'text' | 'call';
  readonly says: readonly Say[];
  readonly purpose: MessagePurpose;
  readonly notBefore: number;
  readonly sendBefore: number | null;
  /** Words as they were sent before, in place of `says`, and how often they are sent again by now. */
  readonly words?: string;
  readonly again?: number;
  /** Names the alert that the message tells of, so that its receipt can mark it notified. */
  readonly alertId?: string;
}

export const minuteMs = 60_000;
export const hourMs = 3_600_000;

export function say(draft: Draft, key: string, values: Say['values'] = {}): void {
  draft.says.push({ key, values });
}

export function note(draft: Draft, kind: string, body: unknown): void {
  draft.journal.push({ kind, body });
}

export function change(draft: Draft, part: Partial<LineState>): void {
  draft.state = { ...draft.state, ...part };
}

export function writingMother(draft: Draft): Mother | undefined {
  return draft.state.mothers[draft.state.writing];
}

export function changeMother(draft: Draft, index: number, part: Partial<Mother>): void {
  change(draft, { mothers: draft.state.mothers.map((m, i) => (i === index ? { ...m, ...part } : m)) });
}

export function changeAlert(draft: Draft, id: string, part: Partial<Alert>): void {
  change(draft, { alerts: draft.state.alerts.map((a) => (a.id === id ? { ...a, ...part } : a)) });
}

/** Sets a due time in place of those of the same matter. */
export function setDue(draft: Draft, due: Due): void {
  change(draft, { dues: [...draft.state.dues.filter((d) => !sameMatter(d, due)), due] });
}

export function dropDues(draft: Draft, drop: (due: Due) => boolean): void {
  change(draft, { dues: draft.state.dues.filter((d) => !drop(d)) });
}

function sameMatter(a: Due, b: Due): boolean {
  if ('mother' in a && 'mother' in b) return a.kind === b.kind && a.mother === b.mother;
  if ('alertId' in a && 'alertId' in b) return a.kind === b.kind && a.alertId === b.alertId;
  return a.kind === b.kind;
}
