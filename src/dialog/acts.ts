import { climb, nextMorning, openAlerts, raiseAlert, reopen } from '../counsel/alerts.ts';
import { recordCheckIn, recordWeight } from './check-in-feedback.ts';
import { judgeSigns, raiseConfirmed, raiseUnconfirmed, setDangerAside, tellDanger } from './danger-told.ts';
import type { Run } from './dialog-context.ts';
import { change, changeAlert, changeMother, type Draft, note, say, setDue } from './draft.ts';
import { enrolMother } from './enrol.ts';
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
    changeAlert(draft, alert.id, {
      steps: [
        ...alert.steps,
        {
          at: draft.world.now,
          what: 'followed-up',
          by: 'mother',
          note: run.answers['reached'] === 3 ? 'better' : 'reached care',
        },
      ],
    });
    note(draft, 'follow-up', { code: alert.code, reached: run.answers['reached'] ?? null });
    say(draft, run.answers['reached'] === null ? 'follow-up.no-answer' : 'follow-up.good');
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
    if (alert === undefined) return;
    note(draft, 'follow-up', { code: alert.code, reached: null });
    // A missed follow-up of an open alert is told again; of a closed one she is asked once more the next morning.
    if (alert.stage === 'resolved') {
      if (
        alert.steps.filter((s) => s.what === 'followed-up').length === 0 &&
        alert.raisedAt > draft.world.now - 3 * 86_400_000
      ) {
        setDue(draft, { kind: 'follow-up', at: nextMorning(draft), alertId: alert.id });
      }
    } else climb(draft, alert.id);
  }),
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

/** She asked for a person: somebody speaks with her today. */
export function askForPerson(draft: Draft): void {
  const { state, world } = draft;
  raiseAlert(draft, {
    tier: 'B',
    mother: state.writing,
    signs: [],
    reasons: ['asked-for-person'],
    words: '',
    confirmed: true,
  });
  const name = world.programme.counsellors[0]?.name ?? world.programme.name;
  say(draft, 'person.will-call', { name, emergency: world.programme.emergencyNumber });
}

/** The alert that a follow-up speaks of: the latest that was raised to tier A or B. */
function followedAlert(draft: Draft) {
  const open = openAlerts(draft).filter((a) => a.tier !== 'C');
  return open.at(-1) ?? draft.state.alerts.filter((a) => a.tier !== 'C').at(-1);
}
