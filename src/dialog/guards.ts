import type { Facts, Run } from './dialog-context.ts';

/** What a flow's `when:` may name. Registered here once; each answers one question about the run or the mother. */
export type Guard = (run: Run, facts: Facts) => boolean;

const chose =
  (field: string, option: number): Guard =>
  (run) =>
    run.answers[field] === option;

export const guards = {
  languageToAsk: (_run, facts) => facts.languageCount > 1 && !facts.languageKnown,
  weighingDue: (_run, facts) => facts.weighingDue,
  talkDue: (_run, facts) => facts.talkDue,
  saidYes: (run) => run.answers['yes'] === true,
  saidNo: (run) => run.answers['yes'] === false,
  reachedCare: chose('reached', 1),
  notReachedCare: chose('reached', 2),
  feelingBetter: chose('reached', 3),
  onCall: (_run, facts) => facts.onCall === true,
  choosesByKeys: (run) => run.answers['kitchen'] === 'keys',
  namesNeeded: (_run, facts) => facts.motherCount > 0 && facts.mother?.name === null,
} satisfies Readonly<Record<string, Guard>>;
