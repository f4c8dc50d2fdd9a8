import type { AnyMachineSnapshot, AnyStateMachine, StateNode } from 'xstate';
import { shortHash } from '../language/short-hash.ts';
import { type DialogContext, type DialogEvent, freshRun, type Run } from './dialog-context.ts';
import type { Flow, Step } from './flow.ts';
import type { SavedDialog } from './line.ts';
import { dialogMachine, runKey } from './machine.ts';
import { type MachineAction, openStepping } from './stepping.ts';

/** An action of the machine, as data. */
export type DialogAction =
  | { readonly type: 'ask' }
  | { readonly type: 'act'; readonly act: string }
  | { readonly type: 'say'; readonly text: string };

/** Where she stands: the flow and step being asked, with its run; or quiet. */
export type Standing =
  | { readonly kind: 'quiet' }
  | { readonly kind: 'asking'; readonly flow: Flow; readonly step: Step; readonly run: Run };

/** A dialog that waits for an answer. */
export type Asking = Extract<Standing, { kind: 'asking' }>;

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

/** Compiles the flows. @throws Error when a flow names a guard that does not exist */
export function openDialogs(flows: readonly Flow[]): Dialogs {
  const machine = dialogMachine(flows);
  const byName = new Map(flows.map((f) => [f.flow, f]));
  const version = flows.map((f) => `${f.flow}:${f.steps.map((s) => s.id).join(',')}`).join(';');
  const stamp = shortHash(version);
  const stepping = openStepping(machine);
  const { initial } = stepping;

  const restore = (at: SavedDialog | null): { snapshot: AnyMachineSnapshot; restarted: boolean } => {
    if (at === null) return { snapshot: initial, restarted: false };
    const value = at.flows === stamp ? at.value : nearest(at.value, byName);
    if (value === undefined) return { snapshot: initial, restarted: true };
    try {
      const snapshot = stepping.at(value, contextOf(at), at.history);
      // At the same step nothing is lost, and nothing to be sorry for.
      return {
        snapshot,
        restarted: at.flows !== stamp && JSON.stringify(value) !== JSON.stringify(at.value),
      };
    } catch {
      // A history that names a step no longer there: she is brought to the quiet state, never stranded.
      return { snapshot: initial, restarted: true };
    }
  };

  const standing = (at: SavedDialog | null): Standing => {
    if (at === null) return { kind: 'quiet' };
    // What these very flows saved says where she stands as it is; only older ones must be brought over.
    if (at.flows === stamp) return standingAt(at.value, contextOf(at), byName);
    const { snapshot } = restore(at);
    return standingAt(snapshot.value, snapshot.context as DialogContext, byName);
  };
  // A turn asks several times where she stands, between two steps always of the same saved dialog.
  let lastAsked: { readonly at: SavedDialog; readonly standing: Standing } | undefined;

  // A flow that begins with a question begins alike for everybody: no guard looks at her before she has answered.
  const opened = new Map<string, DialogStep>();

  return {
    flows: byName,
    version,
    machine,
    standing: (at) => {
      if (at === null) return { kind: 'quiet' };
      if (lastAsked?.at !== at) lastAsked = { at, standing: standing(at) };
      return lastAsked.standing;
    },
    step: (at, event, now) => {
      const isFresh = at === null && opensAtQuestion(event, byName);
      const known = isFresh ? opened.get(event.type) : undefined;
      if (known !== undefined)
        return { ...known, at: known.at === null ? null : { ...known.at, touchedAt: now } };
      const { snapshot, restarted } = restore(at);
      const [next, actions] = stepping.step(snapshot, event);
      const context = next.context as DialogContext;
      const wasIn = runOf(snapshot, byName);
      const step: DialogStep = {
        at: isQuiet(next) ? null : save(next, stamp, now),
        actions: actions.map(toAction).filter((a) => a !== undefined),
        run: context[wasIn ?? runOf(next, byName) ?? 'talk'],
        restarted,
      };
      if (isFresh) opened.set(event.type, step);
      return step;
    },
  };
}

function opensAtQuestion({ type }: DialogEvent, flows: ReadonlyMap<string, Flow>): boolean {
  return type.startsWith('OPEN.') && flows.get(type.slice('OPEN.'.length))?.steps[0]?.ask !== undefined;
}

function toAction(action: MachineAction): DialogAction | undefined {
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

/** What was saved, where it has the shape that these flows save; else a fresh start. Looked at by hand: it is on every turn. */
function contextOf(at: SavedDialog): DialogContext {
  const saved = at.context as Partial<DialogContext> | null;
  const isWhole = typeof saved === 'object' && saved !== null && isRun(saved.talk) && isRun(saved.aside);
  return isWhole ? (saved as DialogContext) : { talk: freshRun, aside: freshRun };
}

function isRun(run: unknown): run is Run {
  if (typeof run !== 'object' || run === null) return false;
  const { answers, attempts, baby, trail, doubt, open } = run as Record<keyof Run, unknown>;
  return (
    typeof answers === 'object' &&
    answers !== null &&
    Object.values(answers).every((v) => v === null || ['number', 'string', 'boolean'].includes(typeof v)) &&
    typeof attempts === 'number' &&
    typeof baby === 'number' &&
    isNames(trail) &&
    isNames(open) &&
    (doubt === null ||
      (typeof doubt === 'object' &&
        doubt !== undefined &&
        typeof (doubt as { field?: unknown }).field === 'string'))
  );
}

function isNames(list: unknown): list is readonly string[] {
  return Array.isArray(list) && list.every((name) => typeof name === 'string');
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

function standingAt(value: unknown, context: DialogContext, flows: ReadonlyMap<string, Flow>): Standing {
  const place = placeOf(value);
  const flow = place === undefined ? undefined : flows.get(place.flow);
  const step = flow?.steps.find((s) => s.id === place?.step);
  if (flow === undefined || step === undefined) return { kind: 'quiet' };
  return { kind: 'asking', flow, step, run: context[runKey(flow)] };
}

function runOf(
  snapshot: AnyMachineSnapshot,
  flows: ReadonlyMap<string, Flow>,
): keyof DialogContext | undefined {
  const place = placeOf(snapshot.value);
  const flow = place === undefined ? undefined : flows.get(place.flow);
  return flow === undefined ? undefined : runKey(flow);
}
