import type { ActorLogic, EventObject } from 'xstate';
import { getAdjacencyMap } from 'xstate/graph';
import type { DialogEvent, Facts, Run } from '../../src/dialog/dialog-context.ts';
import type { DialogAction, Dialogs, Standing } from '../../src/dialog/dialog-steps.ts';
import { answerKey, type Field, type Step } from '../../src/dialog/flow.ts';
import type { AnswerScalar, SavedDialog } from '../../src/dialog/line.ts';
import { missingFields } from '../../src/dialog/machine.ts';

type Asking = Extract<Standing, { kind: 'asking' }>;

/** A place of the dialog as it is kept between turns, with what the step that led there had to do. */
export interface WalkedSnapshot {
  readonly status: 'active';
  readonly output: undefined;
  readonly error: undefined;
  readonly at: SavedDialog | null;
  readonly actions: readonly DialogAction[];
}

const walked = (at: SavedDialog | null, actions: readonly DialogAction[]): WalkedSnapshot => ({
  status: 'active',
  output: undefined,
  error: undefined,
  at,
  actions,
});

/**
 * The dialogs as logic that `xstate/graph` can walk. Every step goes through JSON, as through the store, so the walk itself
 * proves that each place survives saving and restoring.
 */
function walkedLogic(dialogs: Dialogs): ActorLogic<WalkedSnapshot, EventObject, undefined> {
  return {
    transition: (snapshot, event) => {
      const kept = JSON.parse(JSON.stringify(snapshot.at)) as SavedDialog | null;
      const { at, actions } = dialogs.step(kept, event as DialogEvent, 0);
      return walked(at, actions);
    },
    getInitialSnapshot: () => walked(null, []),
    getPersistedSnapshot: (snapshot) => snapshot,
  };
}

/** Answers that a field can have, more than one where a guard looks at it. */
function samples(field: Field): readonly AnswerScalar[] {
  switch (field.kind) {
    case 'yes-no':
      return [true, false];
    case 'choice':
      return Array.from({ length: field.options ?? 2 }, (_, i) => i + 1);
    case 'language':
    case 'mother':
      return [1];
    case 'date':
      return ['2026-02-26'];
    case 'words':
      return ['Asha'];
    case 'choices':
      return ['1,2'];
    case 'menu':
      return field.several === true ? ['1,2'] : [1];
    case 'kitchen':
      return ['besan,spinach', 'keys'];
    case 'go-on':
      return [true];
    case 'weight':
      return [3000];
    case 'time-of-day':
      return [600];
    case 'count':
    case 'hours':
      return [field.min ?? 0];
    default:
      // Kinds that came later: an option each, or one press.
      return Array.from({ length: field.options ?? 1 }, (_, i) => i + 1);
  }
}

function keyed(step: Step, run: Run, pick: (field: Field) => AnswerScalar): Record<string, AnswerScalar> {
  return Object.fromEntries(
    missingFields(step, run).map((field) => [answerKey(step, field.field, run.baby), pick(field)]),
  );
}

/** Everything that can be told at a place: whole answers of each kind, a part, nothing clear, a doubt, and all root events. */
export function eventsAt(dialogs: Dialogs, standing: Standing, facts: Facts): readonly DialogEvent[] {
  const root: DialogEvent[] = [
    ...[...dialogs.flows.keys()].map((flow) => ({ type: `OPEN.${flow}` as const, facts })),
    ...(['BACK', 'ASK', 'LEAVE', 'STOP'] as const).map((type) => ({ type, facts })),
  ];
  if (standing.kind === 'quiet') return [...root, { type: 'ANSWER', read: {}, doubt: null, facts }];
  return [...root, ...answersAt(standing, facts)];
}

function answersAt({ step, run }: Asking, facts: Facts): readonly DialogEvent[] {
  const missing = missingFields(step, run);
  const first = missing[0];
  const most = Math.max(...missing.map((f) => samples(f).length));
  const whole = Array.from({ length: most }, (_, i): DialogEvent => {
    const read = keyed(step, run, (f) => samples(f)[i % samples(f).length] ?? null);
    return { type: 'ANSWER', read, doubt: null, facts };
  });
  if (first === undefined) return whole;
  const key = answerKey(step, first.field, run.baby);
  const value = samples(first)[0] ?? null;
  // As the readers do: a text that answers something leaves out what is optional; on a call words are left out.
  const without = (left: (field: Field) => boolean) =>
    Object.fromEntries(missing.filter(left).map((f) => [answerKey(step, f.field, run.baby), null]));
  const byText = { ...without((f) => f.optional === true), [key]: value };
  const byKey = { ...without((f) => f.kind === 'words' && f.field !== 'worry'), [key]: value };
  return [
    ...whole,
    { type: 'ANSWER', read: byText, doubt: null, facts },
    { type: 'ANSWER', read: byKey, doubt: null, facts },
    { type: 'ANSWER', read: {}, doubt: { field: key, value }, facts },
    unclear(facts),
  ];
}

export const unclear = (facts: Facts): DialogEvent => ({ type: 'ANSWER', read: {}, doubt: null, facts });

/** A whole answer, the first of each kind. */
export function wholeAnswer({ step, run }: Asking, facts: Facts): DialogEvent {
  return { type: 'ANSWER', read: keyed(step, run, (f) => samples(f)[0] ?? null), doubt: null, facts };
}

/** "check-in/counts"; "quiet". */
export function placeOf(standing: Standing): string {
  return standing.kind === 'quiet' ? 'quiet' : `${standing.flow.flow}/${standing.step.id}`;
}

/**
 * What tells two kept dialogs apart in the walk: the place, how the run goes there, and, under an aside, the place that it
 * returns to. What was answered at steps long past is left out, for the walk to have an end.
 */
export function shapeOf(dialogs: Dialogs, at: SavedDialog | null): string {
  const standing = dialogs.standing(at);
  if (standing.kind === 'quiet' || at === null) return 'quiet';
  const { flow, step, run } = standing;
  const missing = missingFields(step, run).map((f) => f.field);
  const under = flow.aside === true ? Object.values(at.history) : [];
  return JSON.stringify([placeOf(standing), run.attempts, run.baby, run.doubt !== null, missing, under]);
}

/** A place, and where each thing that can be told there leads. */
export interface Walked {
  readonly state: WalkedSnapshot;
  readonly steps: readonly { readonly event: DialogEvent; readonly state: WalkedSnapshot }[];
}

/** Every place that can be come to with these facts, and every step between them. */
export function walk(dialogs: Dialogs, facts: Facts): readonly Walked[] {
  const map = getAdjacencyMap(walkedLogic(dialogs), {
    events: (snapshot) => eventsAt(dialogs, dialogs.standing(snapshot.at), facts),
    serializeState: (snapshot) => shapeOf(dialogs, snapshot.at),
    serializeEvent: (event) => JSON.stringify({ ...event, facts: undefined }),
    limit: 200_000,
  });
  // The graph's own type names its keys with a brand, so that its values are of no type at all.
  const nodes = Object.values(map) as unknown as readonly {
    readonly state: WalkedSnapshot;
    readonly transitions: Readonly<Record<string, { event: EventObject; state: WalkedSnapshot }>>;
  }[];
  return nodes.map(({ state, transitions }) => ({
    state,
    steps: Object.values(transitions).map((t) => ({ event: t.event as DialogEvent, state: t.state })),
  }));
}
