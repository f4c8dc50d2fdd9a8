import { type AnyMachineSnapshot, type AnyStateMachine, initialTransition, transition } from 'xstate';
import type { DialogContext, DialogEvent } from './dialog-context.ts';

/** An action as XState gives it. */
export interface MachineAction {
  readonly type: string;
  readonly params?: Readonly<Record<string, string>>;
}

/** The machine ready for many steps: what is the same at each of them is made once. Holds nothing of any line. */
export interface Stepping {
  readonly initial: AnyMachineSnapshot;
  /** The snapshot at a state value. @throws Error where the value or a history names a state that is not there */
  at(
    value: unknown,
    context: DialogContext,
    history: Readonly<Record<string, readonly string[]>>,
  ): AnyMachineSnapshot;
  /** One event: the same as XState's `transition`, which a test holds it to. */
  step(
    snapshot: AnyMachineSnapshot,
    event: DialogEvent,
  ): readonly [AnyMachineSnapshot, readonly MachineAction[]];
}

/** More places than any flows have: a value that was made up must not grow the table. */
const mostPlaces = 2_000;

/**
 * XState's `transition` builds a throw-away actor with its system for every call, and `resolveState` works the state nodes
 * out anew: together half of a step. The machine starts nothing (no `invoke`, no `after`), so that one inert actor serves all
 * steps, and the nodes of a place are always the same.
 */
export function openStepping(machine: AnyStateMachine): Stepping {
  const [first] = initialTransition(machine);
  const initial = first as AnyMachineSnapshot;
  let taken: MachineAction[] = [];
  const scope = inertScope(machine, initial);
  scope.actionExecutor = (action) => void taken.push(action as unknown as MachineAction);
  const places = new Map<string, AnyMachineSnapshot>();

  const placeAt = (value: unknown): AnyMachineSnapshot => {
    const key = JSON.stringify(value);
    const known = places.get(key);
    if (known !== undefined) return known;
    const place = machine.resolveState({ value: value as never, context: initial.context } as never);
    if (places.size >= mostPlaces) places.clear();
    places.set(key, place);
    return place;
  };

  return {
    initial,
    at: (value, context, history) => {
      const historyValue: Record<string, unknown> = {};
      for (const [id, nodes] of Object.entries(history))
        historyValue[id] = nodes.map((node) => machine.getStateNodeById(node));
      return { ...placeAt(value), context, historyValue } as AnyMachineSnapshot;
    },
    step: (snapshot, event) => {
      taken = [];
      const next = machine.transition(snapshot as never, event as never, scope);
      return [next as AnyMachineSnapshot, taken];
    },
  };
}

type Scope = Parameters<AnyStateMachine['transition']>[2];

/** The actor that XState's own `transition` steps a machine with: it does nothing and hears of nothing. */
function inertScope(machine: AnyStateMachine, initial: AnyMachineSnapshot): Scope {
  let scope: Scope | undefined;
  const logic = {
    getInitialSnapshot: () => initial,
    transition: (snapshot: AnyMachineSnapshot, _event: unknown, given: Scope) => {
      scope = given;
      return snapshot;
    },
    config: machine.config,
  };
  transition(logic as unknown as AnyStateMachine, initial as never, { type: 'LEAVE' } as never);
  if (scope === undefined) throw new Error('XState stepped without an actor.');
  return scope;
}
