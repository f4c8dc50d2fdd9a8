import { type AnyStateMachine, assign, createMachine } from 'xstate';
import { type DialogContext, type DialogEvent, type Facts, freshRun, type Run } from './dialog-context.ts';
import { answerKey, type Field, type Flow, type Step } from './flow.ts';
import { type Guard, guards } from './guards.ts';

/**
 * All flows as one XState machine. `talk` holds the flows she is led through and the quiet state between them; `aside` holds
 * short flows (language, who is writing, is it a danger?) that come on top and return by history to where she was.
 * No `invoke` and no `after`: waiting is a due time in the store, so that every path can be walked in a test.
 *
 * Actions come back as data: `ask` (ask what the new state asks), `act` (run a named act), `say` (tell a named text).
 */
export function dialogMachine(flows: readonly Flow[]): AnyStateMachine {
  const talk: Record<string, object> = { quiet: {}, hist: { type: 'history', history: 'deep' } };
  const aside: Record<string, object> = {};
  const open: Record<string, object> = {};
  for (const flow of flows) {
    const key = runKey(flow);
    (flow.aside ? aside : talk)[flow.flow] = flowNode(flow, key);
    open[`OPEN.${flow.flow}`] = {
      target: `#${flow.flow}`,
      actions: setRun(key, () => freshRun),
      reenter: true,
    };
  }
  const config = {
    id: 'line',
    context: { talk: freshRun, aside: freshRun },
    initial: 'talk',
    states: {
      talk: { id: 'talk', initial: 'quiet', states: talk },
      ...(Object.keys(aside).length > 0 ? { aside: { initial: Object.keys(aside)[0], states: aside } } : {}),
    },
    on: { ...open, STOP: '.talk.quiet', LEAVE: '.talk.quiet', RETURN: '#talk.hist' },
  };
  // The config is data made from the flow files, so its shape is checked by XState at run time, not by its types.
  return createMachine(config as never) as unknown as AnyStateMachine;
}

export function runKey(flow: Flow): keyof DialogContext {
  return flow.aside ? 'aside' : 'talk';
}

/** The answer keys of a step that still wait for an answer. */
export function missingFields(step: Step, run: Run): readonly Field[] {
  const answer = (field: string) => run.answers[answerKey(step, field, run.baby)];
  return (step.ask ?? []).filter(
    (f) => answer(f.field) === undefined && (f.needs === undefined || answer(f.needs) !== null),
  );
}

type Args = { context: DialogContext; event: DialogEvent };

function setRun(key: keyof DialogContext, change: (run: Run, event: DialogEvent) => Run) {
  return assign(({ context, event }: Args) => ({ [key]: change(context[key], event) }) as never) as unknown;
}

function flowNode(flow: Flow, key: keyof DialogContext): object {
  const states: Record<string, object> = {};
  const asking = flow.steps.filter((s) => s.ask !== undefined);
  for (const step of flow.steps) {
    if (step.ask !== undefined) {
      const ways = waysOn(flow, step);
      states[step.id] = askingNode(step, key, asking, ways);
      states[`after-${step.id}`] = { always: ways.map((way) => wayNode(way, key)) };
    } else {
      states[step.id] = {
        entry: [
          ...(step.do ?? []).map((act) => ({ type: 'act', params: { act } })),
          ...(step.say ?? []).map((text) => ({ type: 'say', params: { text } })),
        ],
        always: waysOn(flow, step).map((way) => wayNode(way, key)),
      };
    }
  }
  return { id: flow.flow, initial: flow.steps[0]?.id, states };
}

function askingNode(
  step: Step,
  key: keyof DialogContext,
  asking: readonly Step[],
  ways: readonly Way[],
): object {
  const on = `after-${step.id}`;
  const again = { target: step.id, reenter: true };
  const isComplete = (run: Run) => run.doubt === null && missingFields(step, run).length === 0;
  const hasNew = ({ event }: Args) =>
    event.type === 'ANSWER' && (Object.keys(event.read).length > 0 || event.doubt !== null);
  const wasLastTry = ({ context }: Args) => step.unclear === 'leave-open' || context[key].attempts >= 2;
  const leave = (run: Run): Run => ({ ...run, trail: [...run.trail, step.id], attempts: 0, doubt: null });
  // Of a second baby all may have been told together with the first.
  const wasTold = ({ context }: Args) => context[key].baby > 0 && isComplete(context[key]);
  const answered = onceEach((run, event): Run | undefined => {
    const merged = merge(run, event);
    return isComplete(merged) ? leave(merged) : undefined;
  });
  return {
    entry: { type: 'ask' },
    ...(step.each === 'baby'
      ? { always: [{ guard: wasTold, actions: setRun(key, leave), target: on }] }
      : {}),
    on: {
      ANSWER: [
        // A whole answer goes straight on where it leads; each state passed through on the way makes the snapshot anew.
        ...ways.map(({ isOpen, change, target }) => ({
          guard: ({ context, event }: Args) => {
            const run = answered(context[key], event);
            return run !== undefined && (isOpen === undefined || isOpen(run, event.facts));
          },
          actions: setRun(key, (run, event) => {
            const next = answered(run, event) ?? run;
            return change === undefined ? next : change(next);
          }),
          target,
          reenter: true,
        })),
        { guard: hasNew, actions: setRun(key, merge), ...again },
        {
          guard: wasLastTry,
          actions: [
            setRun(key, (run) => leave(leftOpen(step, run))),
            { type: 'act', params: { act: 'noteLeftOpen' } },
          ],
          target: on,
        },
        { actions: setRun(key, (run) => ({ ...run, attempts: run.attempts + 1, doubt: null })), ...again },
      ],
      ASK: again,
      BACK: [
        ...asking.map((to) => ({
          guard: ({ context }: Args) => context[key].trail.at(-1) === to.id,
          actions: setRun(key, (run) => backTo(to, run)),
          target: to.id,
          reenter: true,
        })),
        again,
      ],
    },
  };
}

function merge(run: Run, event: DialogEvent): Run {
  if (event.type !== 'ANSWER') return run;
  return { ...run, answers: { ...run.answers, ...event.read }, doubt: event.doubt };
}

function leftOpen(step: Step, run: Run): Run {
  const keys = missingFields(step, run).map((f) => answerKey(step, f.field, run.baby));
  return {
    ...run,
    answers: { ...run.answers, ...Object.fromEntries(keys.map((k) => [k, null])) },
    open: [...run.open, ...keys],
  };
}

function backTo(step: Step, run: Run): Run {
  const forget = new Set((step.ask ?? []).map((f) => answerKey(step, f.field, 0)));
  const first = step.each === 'baby' ? 0 : run.baby;
  const base = (k: string) => k.split('#')[0];
  const names = new Set([...forget].map(base));
  const answers = Object.fromEntries(
    Object.entries(run.answers).filter(([k]) => !(step.each === 'baby' ? names.has(base(k)) : forget.has(k))),
  );
  const trail = run.trail.slice(0, run.trail.indexOf(step.id));
  return {
    ...run,
    answers,
    trail,
    attempts: 0,
    doubt: null,
    baby: first,
    open: run.open.filter((k) => k in answers),
  };
}

function nextBaby(run: Run): Run {
  return { ...run, baby: run.baby + 1, attempts: 0 };
}

/** While she enrols, the babies are those she just counted; later, those that are kept. */
function babyCount(run: Run, facts: Facts): number {
  const told = run.answers['babies'];
  return typeof told === 'number' ? told : (facts.mother?.babies.length ?? 1);
}

/** A way on from a step that is done. */
interface Way {
  /** Whether it is this one; always, where it is not told. */
  readonly isOpen?: Guard;
  readonly change?: (run: Run) => Run;
  readonly target: string;
}

/** The ways on from a step, the first open one counts: to the next baby, to where the flow says, or to the flow's end. */
function waysOn(flow: Flow, step: Step): readonly Way[] {
  const rewind = step.each === 'baby' ? { change: (run: Run): Run => ({ ...run, baby: 0 }) } : {};
  const babies: readonly Way[] =
    step.each === 'baby' && step.ask !== undefined
      ? [{ isOpen: (run, facts) => run.baby + 1 < babyCount(run, facts), change: nextBaby, target: step.id }]
      : [];
  const next = step.next;
  if (next === undefined)
    return [...babies, { ...rewind, target: flow.aside ? '#talk.hist' : '#talk.quiet' }];
  if (typeof next === 'string') return [...babies, { ...rewind, target: next }];
  const known: Readonly<Record<string, Guard>> = guards;
  const told = next.map(({ when, to }): Way => {
    if (when === undefined) return { ...rewind, target: to };
    const guard = known[when];
    if (guard === undefined)
      throw new Error(`flow "${flow.flow}", step "${step.id}": no guard named "${when}"`);
    return { ...rewind, isOpen: guard, target: to };
  });
  return [...babies, ...told];
}

function wayNode({ isOpen, change, target }: Way, key: keyof DialogContext): object {
  return {
    ...(isOpen === undefined
      ? {}
      : { guard: ({ context, event }: Args) => isOpen(context[key], event.facts) }),
    ...(change === undefined ? {} : { actions: setRun(key, change) }),
    target,
  };
}

/** The same function, asked again with the same values: guards and actions of one event all ask what the answer makes of the run. */
function onceEach<T>(make: (run: Run, event: DialogEvent) => T): (run: Run, event: DialogEvent) => T {
  let last: { readonly run: Run; readonly event: DialogEvent; readonly made: T } | undefined;
  return (run, event) => {
    if (last?.run !== run || last.event !== event) last = { run, event, made: make(run, event) };
    return last.made;
  };
}
