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
  const states: Record<string, object> = { over: { type: 'final' } };
  const asking = flow.steps.filter((s) => s.ask !== undefined);
  for (const step of flow.steps) {
    if (step.ask !== undefined) {
      states[step.id] = askingNode(step, key, asking);
      states[`after-${step.id}`] = {
        always: [
          ...(step.each === 'baby'
            ? [{ guard: moreBabies(key), actions: setRun(key, nextBaby), target: step.id }]
            : []),
          ...routes(flow, step, key),
        ],
      };
    } else {
      states[step.id] = {
        entry: [
          ...(step.do ?? []).map((act) => ({ type: 'act', params: { act } })),
          ...(step.say ?? []).map((text) => ({ type: 'say', params: { text } })),
        ],
        always: routes(flow, step, key),
      };
    }
  }
  return {
    id: flow.flow,
    initial: flow.steps[0]?.id,
    states,
    onDone: { target: flow.aside ? '#talk.hist' : '#talk.quiet' },
  };
}

function askingNode(step: Step, key: keyof DialogContext, asking: readonly Step[]): object {
  const on = `after-${step.id}`;
  const again = { target: step.id, reenter: true };
  const merged = (args: Args) => merge(args.context[key], args.event);
  const isComplete = (args: Args) =>
    merged(args).doubt === null && missingFields(step, merged(args)).length === 0;
  const hasNew = ({ event }: Args) =>
    event.type === 'ANSWER' && (Object.keys(event.read).length > 0 || event.doubt !== null);
  const wasLastTry = ({ context }: Args) => step.unclear === 'leave-open' || context[key].attempts >= 2;
  const leave = (run: Run): Run => ({ ...run, trail: [...run.trail, step.id], attempts: 0, doubt: null });
  // Of a second baby all may have been told together with the first.
  const wasTold = ({ context }: Args) => {
    const run = context[key];
    return run.baby > 0 && run.doubt === null && missingFields(step, run).length === 0;
  };
  return {
    entry: { type: 'ask' },
    ...(step.each === 'baby'
      ? { always: [{ guard: wasTold, actions: setRun(key, leave), target: on }] }
      : {}),
    on: {
      ANSWER: [
        { guard: isComplete, actions: setRun(key, (run, event) => leave(merge(run, event))), target: on },
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

const moreBabies =
  (key: keyof DialogContext) =>
  ({ context, event }: Args): boolean =>
    context[key].baby + 1 < babyCount(context[key], event.facts);

function nextBaby(run: Run): Run {
  return { ...run, baby: run.baby + 1, attempts: 0 };
}

/** While she enrols, the babies are those she just counted; later, those that are kept. */
function babyCount(run: Run, facts: Facts): number {
  const told = run.answers['babies'];
  return typeof told === 'number' ? told : (facts.mother?.babies.length ?? 1);
}

function routes(flow: Flow, step: Step, key: keyof DialogContext): readonly object[] {
  // Only where there is something to rewind: each assignment makes the snapshot anew.
  const rewind = step.each === 'baby' ? [setRun(key, (run) => ({ ...run, baby: 0 }))] : [];
  const next = step.next;
  if (next === undefined) return [{ target: 'over', actions: rewind }];
  if (typeof next === 'string') return [{ target: next, actions: rewind }];
  const known: Readonly<Record<string, Guard>> = guards;
  return next.map(({ when, to }) => {
    if (when === undefined) return { target: to, actions: rewind };
    const guard = known[when];
    if (guard === undefined)
      throw new Error(`flow "${flow.flow}", step "${step.id}": no guard named "${when}"`);
    return {
      guard: ({ context, event }: Args) => guard(context[key], event.facts),
      target: to,
      actions: rewind,
    };
  });
}
