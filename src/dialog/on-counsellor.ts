import { acknowledge, addNote, type CounsellorAnswer, noteNotified, resolve } from '../counsel/alerts.ts';
import { alertValues } from '../counsel/alert-words.ts';
import { counsellorById } from '../counsel/rota.ts';
import { type Draft, note, say } from './draft.ts';
import type { LineEvent } from './event.ts';

/** A counsellor's command on one of this line's alerts. What is said goes back to her, in her language. */
export function onCounsellor(draft: Draft, event: Extract<LineEvent, { kind: 'counsellor' }>): void {
  const { command, by } = event;
  const answer = carryOut(draft, event);
  const { code } = command;
  if (answer.kind === 'no-alert') {
    say(draft, 'counsellor.no-alert', { code });
    return;
  }
  if (answer.kind === 'has-it') {
    const name = counsellorById(draft.world.programme, answer.by)?.name ?? answer.by;
    say(draft, 'counsellor.has-it', { code, name });
    return;
  }
  const language = counsellorById(draft.world.programme, by)?.language ?? draft.world.programme.language;
  const values = alertValues(draft.state, answer.alert, draft.world, language);
  if (command.kind === 'acknowledge') say(draft, 'counsellor.acknowledged', values);
  else if (command.kind === 'note') say(draft, 'counsellor.noted', values);
  else {
    const outcome = draft.world.content.wording.say(`outcome.${command.outcome}`, {}, language, 'text');
    say(draft, 'counsellor.resolved', { ...values, outcome });
  }
}

function carryOut(
  draft: Draft,
  { command, by }: Extract<LineEvent, { kind: 'counsellor' }>,
): CounsellorAnswer {
  switch (command.kind) {
    case 'acknowledge':
      return acknowledge(draft, command.code, by);
    case 'note':
      return addNote(draft, command.code, by, command.note);
    case 'resolve':
      return resolve(draft, command.code, by, command.outcome, command.note);
    default:
      return command satisfies never;
  }
}

/** The carrier's word on a message of this line. An alert's text that was taken has notified somebody. */
export function onReceipt(draft: Draft, event: Extract<LineEvent, { kind: 'receipt' }>): void {
  note(draft, 'receipt', { message: event.outboxId, status: event.status, error: event.errorCode });
  const alert = draft.state.alerts.find((a) => event.outboxId.includes(`!${a.id}!`));
  if (alert !== undefined && (event.status === 'sent' || event.status === 'delivered'))
    noteNotified(draft, alert.id);
}
