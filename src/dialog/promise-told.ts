import { openAlerts } from '../counsel/alerts.ts';
import { callPromise } from '../counsel/call-promise.ts';
import { type Draft, note, say } from './draft.ts';
import type { Alert, Say } from './line.ts';

/** The words for each promise of a call, by where they are said. */
const promiseKeys = {
  /** She asked for a person. */
  person: {
    today: 'person.will-call',
    tomorrow: 'person.will-call-tomorrow',
    open: 'person.passed-on',
    nobody: 'person.nobody',
  },
  /** At the end of a check-in. */
  feedback: {
    today: 'feedback.person-today',
    tomorrow: 'feedback.person-tomorrow',
    open: 'feedback.person-passed-on',
    nobody: 'feedback.person-nobody',
  },
  /** She confirmed a danger that is not of the first urgency. */
  danger: {
    today: 'danger.today',
    tomorrow: 'danger.tomorrow',
    open: 'danger.passed-on',
    nobody: 'danger.nobody',
  },
} as const;
type Where = keyof typeof promiseKeys;

const wheres = new Map<string, Where>(
  (['person', 'feedback', 'danger'] as const).flatMap((where) =>
    Object.values(promiseKeys[where]).map((key) => [key, where] as const),
  ),
);

/** Whether a text by this name tells whether and when she is called. */
export function isPromise(key: string): boolean {
  return wheres.has(key);
}

/** Tells her what will come of an alert: a call today, tomorrow, or that it is passed on. Only what the rota will keep. */
export function sayPromise(draft: Draft, where: Where, alert: Alert): void {
  const { key, values } = promiseSay(draft, where, alert);
  say(draft, key, values);
}

/** Words that were said, or are still to be said, with the promise in them as it stands now; without it once the alert is closed. */
export function promisedNow(draft: Draft, says: readonly Say[]): readonly Say[] {
  return says.flatMap((said): readonly Say[] => {
    const where = wheres.get(said.key);
    if (where === undefined) return [said];
    const open = openAlerts(draft);
    const alert = open.find((a) => a.mother === draft.state.writing) ?? open[0];
    return alert === undefined ? [] : [promiseSay(draft, where, alert)];
  });
}

function promiseSay(draft: Draft, where: Where, alert: Alert): Say {
  const { state, world } = draft;
  const promise = callPromise(state, alert, world);
  const by = promise.kind === 'nobody' ? null : promise.by;
  note(draft, 'call-promised', {
    code: alert.code,
    kind: promise.kind,
    by: by?.id ?? null,
    ...('toldAt' in promise ? { toldAt: promise.toldAt } : {}),
  });
  // Who is not on the line is told the name of the programme, as ever.
  const isKnown = state.mothers[state.writing] !== undefined;
  const name = by === null || !isKnown ? world.programme.name : by.name;
  const values = { name, emergency: world.programme.emergencyNumber };
  return { key: promiseKeys[where][promise.kind], values };
}
