import {
  type AnyMachineSnapshot,
  type AnyStateMachine,
  initialTransition,
  type StateNode,
  transition,
} from 'xstate';
import { z } from 'zod';
import { shortHash } from '../language/short-hash.ts';
import { type DialogContext, type DialogEvent, freshRun, type Run } from './dialog-context.ts';
import type { Flow, Step } from './flow.ts';
import type { SavedDialog } from './line.ts';
import { dialogMachine, runKey } from './machine.ts';

/** An action of the machine, as data. */
export type DialogAction =
  | { readonly type: 'ask' }
  | { readonly type: 'act'; readonly act: string }
  | { readonly type: 'say'; readonly text: string };

/** Where she stands: the flow and step being asked, with its run; or quiet. */
export type Standing =
  | { readonly kind: 'quiet' }
  | { readonly kind: 'asking'; readonly flow: Flow; readonly step: Step; readonly run: Run };

/** The flows ready to be stepped through. Made once at start-up; holds no state of any line. */
export interface Dialogs {
  readonly flows: ReadonlyMap<string, Flow>;
  /** Names the flows and their steps; a snapshot of another version is brought over carefully. */
  readonly version: string;
  readonly machine: AnyStateMachine;
  step(at: SavedDialog | null, event: DialogEvent, now: number): DialogStep;
  standing(at: SavedDialog | null): Standing;
}

export interface DialogStep {
  readonly at: SavedDialog | null;
  readonly actions: readonly DialogAction[];
  /** The run that the actions speak of: as it was when they were caused. */
  readonly run: Run;
  /** True when a snapshot of older flows had to begin its flow again. */
  readonly restarted: boolean;
}

const runSchema = z.object({
  answers: z.record(z.string(), z.union([z.number(), z.string(), z.boolean(), z.null()])),
  attempts: z.number(),
  baby: z.number(),
  trail: z.array(z.string()),
  doubt: z
    .object({ field: z.string(), value: z.union([z.number(), z.string(), z.boolean(), z.null()]) })
    .nullable(),
  open: z.array(z.string()),
});
const contextSchema = z.object({ talk: runSchema, aside: runSchema });

/** Compiles the flows. @throws Error when a flow names a guard that does not exist */
export function openDialogs(flows: readonly Flow[]): Dialogs {
  const machine = dialogMachine(flows);
  const byName = new Map(flows.map((f) => [f.flow, f]));
  const version = flows.map((f) => `${f.flow}:${f.steps.map((s) => s.id).join(',')}`).join(';');
  const [initial] = initialTransition(machine);
  // `transition` builds the initial snapshot anew at each call; the machine's is always the same, so it is made once.
  const logic = {
    transition: machine.transition.bind(machine),
    getInitialSnapshot: () => initial,
    config: machine.config,
  } as unknown as AnyStateMachine;

  const restore = (at: SavedDialog | null): { snapshot: AnyMachineSnapshot; restarted: boolean } => {
    if (at === null) return { snapshot: initial as AnyMachineSnapshot, restarted: false };
    const context = contextOf(at);
    const value = at.flows === shortHash(version) ? at.value : nearest(at.value, byName);
    if (value === undefined) return { snapshot: initial as AnyMachineSnapshot, restarted: true };
    try {
      const historyValue = Object.fromEntries(
        Object.entries(at.history).map(([id, nodes]) => [id, nodes.map((n) => machine.getStateNodeById(n))]),
      );
      const snapshot = machine.resolveState({ value: value as never, context, historyValue } as never);
      // At the same step nothing is lost, and nothing to be sorry for.
      return { snapshot, restarted: JSON.stringify(value) !== JSON.stringify(at.value) };
    } catch {
      // A history that names a step no longer there: she is brought to the quiet state, never stranded.
      return { snapshot: initial as AnyMachineSnapshot, restarted: true };
    }
  };

  return {
    flows: byName,
    version,
    machine,
    standing: (at) => standingOf(restore(at).snapshot, byName),
    step: (at, event, now) => {
      const { snapshot, restarted } = restore(at);
      const [next, actions] = transition(logic, snapshot as never, event as never) as unknown as [
        AnyMachineSnapshot,
        readonly { readonly type: string; readonly params?: Record<string, string> }[],
      ];
      const context = next.context as DialogContext;
      const wasIn = runOf(snapshot, byName);
      return {
        at: isQuiet(next) ? null : save(next, shortHash(version), now),
        actions: actions.map(toAction).filter((a) => a !== undefined),
        run: context[wasIn ?? runOf(next, byName) ?? 'talk'],
        restarted,
      };
    },
  };
}

function toAction(action: { type: string; params?: Record<string, string> }): DialogAction | undefined {
  if (action.type === 'ask') return { type: 'ask' };
  if (action.type === 'act') return { type: 'act', act: action.params?.['act'] ?? '' };
  if (action.type === 'say') return { type: 'say', text: action.params?.['text'] ?? '' };
  return undefined;
}

function isQuiet(snapshot: AnyMachineSnapshot): boolean {
  return (snapshot.value as Record<string, unknown>)['talk'] === 'quiet';
}

function save(snapshot: AnyMachineSnapshot, flows: string, now: number): SavedDialog {
  const nodes = snapshot.historyValue as Readonly<Record<string, readonly StateNode[]>>;
  const history = Object.fromEntries(Object.entries(nodes).map(([id, ns]) => [id, ns.map((n) => n.id)]));
  return { flows, value: snapshot.value, context: snapshot.context, history, touchedAt: now };
}

function contextOf(at: SavedDialog): DialogContext {
  const read = contextSchema.safeParse(at.context);
  return read.success ? read.data : { talk: freshRun, aside: freshRun };
}

/** The flow and step of a state value such as `{ talk: { 'check-in': 'counts' } }`. */
function placeOf(value: unknown): { flow: string; step: string } | undefined {
  const region = typeof value === 'object' && value !== null ? Object.values(value)[0] : undefined;
  const inner = typeof region === 'object' && region !== null ? Object.entries(region)[0] : undefined;
  return inner === undefined || typeof inner[1] !== 'string' ? undefined : { flow: inner[0], step: inner[1] };
}

/** The nearest state that still exists: the same step, else the start of that flow, else nothing. */
function nearest(value: unknown, flows: ReadonlyMap<string, Flow>): unknown {
  const place = placeOf(value);
  const flow = place === undefined ? undefined : flows.get(place.flow);
  if (place === undefined || flow === undefined) return undefined;
  const region = flow.aside ? 'aside' : 'talk';
  const kept = flow.steps.some((s) => s.id === place.step && s.ask !== undefined);
  const first = flow.steps.find((s) => s.ask !== undefined);
  if (kept) return { [region]: { [flow.flow]: place.step } };
  return first === undefined ? undefined : { [region]: { [flow.flow]: first.id } };
}

function standingOf(snapshot: AnyMachineSnapshot, flows: ReadonlyMap<string, Flow>): Standing {
  const place = placeOf(snapshot.value);
  const flow = place === undefined ? undefined : flows.get(place.flow);
  const step = flow?.steps.find((s) => s.id === place?.step);
  if (flow === undefined || step === undefined) return { kind: 'quiet' };
  return { kind: 'asking', flow, step, run: (snapshot.context as DialogContext)[runKey(flow)] };
}

function runOf(
  snapshot: AnyMachineSnapshot,
  flows: ReadonlyMap<string, Flow>,
): keyof DialogContext | undefined {
  const place = placeOf(snapshot.value);
  const flow = place === undefined ? undefined : flows.get(place.flow);
  return flow === undefined ? undefined : runKey(flow);
}
