import { acknowledge, addNote, type CounsellorAnswer, resolve } from '../counsel/alerts.ts';
import { alertValues, isBrief, whoWords } from '../counsel/alert-words.ts';
import { areaOf, maySee, worksIn } from '../counsel/area.ts';
import { handOver, notConnected, openAgain } from '../counsel/hand-over.ts';
import { mothersAnswers } from '../counsel/mothers-answers.ts';
import { counsellorById } from '../counsel/rota.ts';
import { letterBudget, segmentBudget, segmentsOf } from '../language/sms-segments.ts';
import { change, type Draft, note, say } from './draft.ts';
import type { LineEvent } from './event.ts';
import type { Alert } from './line.ts';

type CounsellorEvent = Extract<LineEvent, { kind: 'counsellor' }>;

/** A counsellor's command on one of this line's alerts. What is said goes back to her, in her language. */
export function onCounsellor(draft: Draft, event: CounsellorEvent): void {
  const { command, by } = event;
  const answer = carryOut(draft, event);
  const { programme } = draft.world;
  const nameOf = (id: string) => counsellorById(programme, id)?.name ?? id;
  if (answer.kind === 'no-alert') {
    sayByChannel(draft, event, 'no-alert', 'closed', { code: command.code });
    return;
  }
  if (answer.kind === 'has-it') {
    sayByChannel(draft, event, 'has-it', 'has-it', { code: answer.alert.code, name: nameOf(answer.by) });
    return;
  }
  const { alert } = answer;
  const language = counsellorById(programme, by)?.language ?? programme.language;
  const values = alertValues(draft.state, alert, draft.world, language);
  switch (command.kind) {
    case 'acknowledge':
      if (isBrief(draft.world) && event.channel !== 'call') say(draft, 'counsellor.rest', values);
      sayByChannel(draft, event, 'acknowledged', 'connecting', values);
      if (event.channel === 'call') draft.connectTo = draft.state.phone;
      return;
    case 'note':
      say(draft, 'counsellor.noted', values);
      return;
    case 'resolve': {
      const outcome = draft.world.content.wording.say(`outcome.${command.outcome}`, {}, language, 'text');
      say(draft, 'counsellor.resolved', { ...values, outcome });
      return;
    }
    case 'answers':
      note(draft, 'answers-read', { code: alert.code, by });
      draft.says.push(...mothersAnswers(draft.state, alert, draft.world, language));
      return;
    case 'say':
      sayToMother(draft, alert, event, command.words, language);
      return;
    case 'hand-over':
      say(draft, 'counsellor.handed', { ...values, name: nameOf(command.to) });
      return;
    case 'reopen':
      say(draft, 'counsellor.reopened', values);
      return;
    case 'not-connected':
      sayByChannel(draft, event, 'no-alert', 'not-reached', values);
      return;
    default:
      command satisfies never;
  }
}

function carryOut(draft: Draft, { command, by }: CounsellorEvent): CounsellorAnswer {
  const { code } = command;
  if (!mayDo(draft, command, by)) return { kind: 'no-alert' };
  switch (command.kind) {
    case 'acknowledge':
      return acknowledge(draft, code, by);
    case 'note':
      return addNote(draft, code, by, command.note);
    case 'resolve':
      return resolve(draft, code, by, command.outcome, command.note);
    case 'hand-over':
      return handOver(draft, code, by, command.to);
    case 'reopen':
      return openAgain(draft, code, by);
    case 'not-connected':
      return notConnected(draft, code, by, command.status);
    case 'answers':
    case 'say': {
      const alert = draft.state.alerts.find((a) => a.code === code);
      return alert === undefined ? { kind: 'no-alert' } : { kind: 'done', alert };
    }
    default:
      return command satisfies never;
  }
}

/** Another area's mother is to her as if she did not exist; only a lead gives a mother to a counsellor of another area. */
function mayDo({ state, world }: Draft, command: CounsellorEvent['command'], by: string): boolean {
  const { programme } = world;
  const counsellor = counsellorById(programme, by);
  if (counsellor === undefined || !maySee(counsellor, state, world)) return false;
  if (command.kind !== 'hand-over' || counsellor.lead) return true;
  const to = counsellorById(programme, command.to);
  return to !== undefined && worksIn(to, areaOf(state, programme));
}

/** In a call the words are fewer and end it. */
function sayByChannel(
  draft: Draft,
  { channel }: CounsellorEvent,
  text: string,
  call: string,
  values: Readonly<Record<string, string | number>>,
): void {
  say(draft, channel === 'call' ? `counsellor.call.${call}` : `counsellor.${text}`, values);
}

/**
 * Her words to the mother, as a text from the line that says whom it is from. Refused whole when it would cost more than the
 * budget, so that nothing of it is cut away; a line that was stopped is never written to.
 */
function sayToMother(
  draft: Draft,
  alert: Alert,
  { by }: CounsellorEvent,
  words: string,
  language: string,
): void {
  const { state, world } = draft;
  const { programme } = world;
  const who = whoWords(state, state.mothers[alert.mother], world, language);
  if (state.standing === 'stopped') {
    say(draft, 'counsellor.stopped', { who, phone: state.phone });
    return;
  }
  const message = {
    key: 'counsellor.says',
    values: { name: counsellorById(programme, by)?.name ?? by, programme: programme.name, words },
  };
  const text = world.content.wording.say(message.key, message.values, state.language, 'text');
  const { encoding, segments } = segmentsOf(text);
  if (segments > segmentBudget[encoding]) {
    const number = Math.max(1, [...text].length - letterBudget[encoding]);
    say(draft, 'counsellor.too-long', { number });
    return;
  }
  draft.sends.push({
    to: { kind: 'line' },
    channel: 'text',
    says: [message],
    purpose: 'reply',
    notBefore: world.now,
    sendBefore: null,
  });
  change(draft, { lastSaid: [message] });
  note(draft, 'counsellor-wrote', { code: alert.code, by, words });
  say(draft, 'counsellor.said', { who });
}
