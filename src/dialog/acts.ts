import { climb, openAlerts, raiseAlert, reopen } from '../counsel/alerts.ts';
import { askCounsellor, endFollowUp, isFollowedUp } from '../counsel/follow-up.ts';
import { recordCheckIn, recordWeight } from './check-in-feedback.ts';
import { correctWhich } from './correction.ts';
import { judgeSigns, raiseConfirmed, raiseUnconfirmed, setDangerAside, tellDanger } from './danger-told.ts';
import type { Run } from './dialog-context.ts';
import { change, changeMother, type Draft, note, say } from './draft.ts';
import { enrolMother } from './enrol.ts';
import { foodActs } from './food-acts.ts';
import { sayPromise } from './promise-told.ts';
import { rhythmActs } from './rhythm-acts.ts';
import type { SignCode } from '../care/signs.ts';

/** What came of an act: another flow to open at once, or nothing. */
export type Act = (draft: Draft, run: Run) => string | undefined;

const quietly =
  (act: (draft: Draft, run: Run) => void): Act =>
  (draft, run) => {
    act(draft, run);
    return undefined;
  };

/** What a flow's `do:` may name. Registered here once. */
export const acts = {
  ...foodActs,
  ...rhythmActs,
  enrol: quietly(enrolMother),
  recordCheckIn: quietly(recordCheckIn),
  recordWeight: quietly(recordWeight),
  raiseConfirmed: quietly(raiseConfirmed),
  raiseUnconfirmed: quietly(raiseUnconfirmed),
  setDangerAside: quietly(setDangerAside),
  useLanguage: quietly((draft, run) => {
    const chosen = draft.world.content.languages[Number(run.answers['language']) - 1];
    if (chosen === undefined) return;
    change(draft, { language: chosen });
    note(draft, 'language', { language: chosen });
    say(draft, 'language.now');
  }),
  turnToMother: (draft, run) => {
    const index = Number(run.answers['who']) - 1;
    if (draft.state.mothers[index] === undefined) return undefined;
    change(draft, { writing: index });
    return 'check-in';
  },
  nameMother: quietly((draft, run) => {
    const name = run.answers['name'];
    if (typeof name === 'string') changeMother(draft, 0, { name });
  }),
  beginAnother: () => 'enrolment',
  noteLeftOpen: quietly((draft, run) => note(draft, 'left-open', { fields: run.open })),
  noteFollowUp: quietly((draft, run) => {
    const alert = followedAlert(draft);
    if (alert === undefined) return;
    const reached = run.answers['reached'] ?? null;
    note(draft, 'follow-up', { code: alert.code, reached });
    // What could not be read is no answer: she is asked again, and a person looks at it.
    if (reached === null) askCounsellor(draft, alert);
    else endFollowUp(draft, alert, reached === 3 ? 'better' : 'reached care');
    say(draft, reached === null ? 'follow-up.no-answer' : 'follow-up.good');
  }),
  climbAgain: quietly((draft) => {
    const alert = followedAlert(draft);
    if (alert === undefined) return;
    note(draft, 'follow-up', { code: alert.code, reached: 2 });
    reopen(draft, alert.id);
    say(draft, 'follow-up.go', { emergency: draft.world.programme.emergencyNumber });
  }),
  noteNoFollowUp: quietly((draft) => {
    const alert = followedAlert(draft);
    if (alert === undefined || isFollowedUp(alert)) return;
    note(draft, 'follow-up', { code: alert.code, reached: null });
    // The next asking is due already. Whoever has an open alert hears of the silence; one that nobody has climbs.
    if (alert.stage === 'resolved') return;
    if (alert.stage === 'acknowledged') askCounsellor(draft, alert);
    else climb(draft, alert.id);
  }),
  correctWhich,
  obeyKey: (draft, run) => {
    switch (run.answers['key']) {
      case 3:
        return 'check-in';
      case 4:
        return 'signs-menu';
      case 5:
        askForPerson(draft);
        return undefined;
      case 6:
        return 'language';
      case 7:
        return 'stop';
      case 8:
        return 'food-menu';
      case 9:
        return 'rhythm-menu';
      case 2:
        return 'back';
      default:
        return undefined;
    }
  },
  tellSign: (draft, run) => {
    const choice = signsByKey[Number(run.answers['sign']) - 1];
    if (choice === undefined) {
      askForPerson(draft);
      return undefined;
    }
    const told = choice.map(([who, code]) => ({ who, code, sure: true, matched: '', detail: {} }));
    return tellDanger(draft, judgeSigns(told, draft.state, draft.world.calendar.day(draft.world.now)), '');
  },
  raiseWorry: quietly((draft) => {
    const index = draft.state.writing;
    raiseAlert(draft, {
      tier: 'B',
      mother: index,
      signs: [],
      reasons: ['worry'],
      words: '',
      confirmed: false,
    });
  }),
} satisfies Readonly<Record<string, Act>>;

/** The keypad's menu of signs, in the order in which it is spoken; the ninth is something else. */
const signsByKey: readonly (readonly (readonly ['baby' | 'mother', SignCode])[])[] = [
  [['baby', 'not-feeding']],
  [['baby', 'fever']],
  [['baby', 'fast-breathing']],
  [['baby', 'convulsion']],
  [['baby', 'jaundice']],
  [['mother', 'bleeding']],
  [['mother', 'headache-vision']],
  [['mother', 'self-harm']],
];

/**
 * She asked for a person: somebody speaks with her, as soon as the rota lets them.
 * @param mother -1: a number that is not on the line
 */
export function askForPerson(draft: Draft, mother: number = draft.state.writing): void {
  const alert = raiseAlert(draft, {
    tier: 'B',
    mother,
    signs: [],
    reasons: ['asked-for-person'],
    words: '',
    confirmed: true,
  });
  sayPromise(draft, 'person', alert);
}

/** The alert that she was last asked about; for what was asked before this was kept, the latest of tier A or B. */
function followedAlert(draft: Draft) {
  const { alerts, followUpOf } = draft.state;
  const asked = alerts.find((a) => a.id === followUpOf);
  const open = openAlerts(draft).filter((a) => a.tier !== 'C');
  return asked ?? open.at(-1) ?? alerts.filter((a) => a.tier !== 'C').at(-1);
}
