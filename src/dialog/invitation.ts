import { areaOfEnrolled, areasOf, maySee, withoutArea } from '../counsel/area.ts';
import { shortDay } from '../counsel/mothers-answers.ts';
import { counsellorById } from '../counsel/rota.ts';
import { change, type Draft, dropDues, note, say, setDue } from './draft.ts';
import type { LineEvent } from './event.ts';
import type { Counsellor } from './world.ts';
import { factsOf, move, open } from './moves.ts';

/** An invitation that nobody takes up ends after so many days, and nothing of it is kept. Common practice, no source. */
const invitationDays = 7;

/**
 * A counsellor asks a number whether she wants the line. Consent is hers alone: until she sends the word herself she gets this one
 * text, in the hours when routine messages may go out. What is said goes back to the counsellor.
 */
export function invite(draft: Draft, event: Extract<LineEvent, { kind: 'invite' }>): void {
  const { state, world } = draft;
  const { phone } = event;
  const by = counsellorById(world.programme, event.by);
  if (by === undefined) return;
  if (areasOf(by) === undefined) {
    if (state.standing !== 'guest') {
      say(draft, `counsellor.${state.standing === 'enrolled' ? 'enrolled-already' : 'not-invited'}`, {
        phone,
      });
      return;
    }
    if ((state.invitation ?? null) !== null) {
      say(draft, 'counsellor.invited-already', { phone });
      return;
    }
    ask(draft, event, by);
    sayAsked(draft, event, 'counsellor.invited');
    return;
  }
  // Who sees some areas only must not learn from the answer whether a number is on the line in another one.
  const isKnown =
    state.standing !== 'guest' || (state.invitation ?? null) !== null || state.alerts.length > 0;
  const isHers = maySee(by, state, world);
  if (state.standing !== 'guest' && isHers) {
    say(draft, `counsellor.${state.standing === 'enrolled' ? 'enrolled-already' : 'not-invited'}`, { phone });
    return;
  }
  const mayAsk = state.standing === 'guest' && (state.invitation ?? null) === null && (!isKnown || isHers);
  if (mayAsk) ask(draft, event, by);
  sayAsked(draft, event, 'counsellor.invited-or-known');
}

/** The one text, and what is kept until she answers or it ends. */
function ask(draft: Draft, event: Extract<LineEvent, { kind: 'invite' }>, by: Counsellor): void {
  const { world } = draft;
  const area = areaOfEnrolled(by);
  const untilAt = world.now + invitationDays * 86_400_000;
  change(draft, {
    language: event.language,
    invitation: { by: event.by, untilAt, bornOn: event.bornOn, birthWeightGrams: event.birthWeightGrams },
    ...(area === undefined ? {} : { area }),
  });
  setDue(draft, { kind: 'invitation-ends', at: untilAt });
  note(draft, 'invited', { by: event.by });
  draft.sends.push({
    to: { kind: 'line' },
    channel: 'text',
    says: [
      {
        key: 'invitation-from',
        values: {
          name: by.name,
          programme: world.programme.name,
          emergency: world.programme.emergencyNumber,
        },
      },
    ],
    purpose: 'follow-up',
    notBefore: routineFrom(draft),
    sendBefore: untilAt,
  });
}

function sayAsked(draft: Draft, event: Extract<LineEvent, { kind: 'invite' }>, key: string): void {
  say(draft, key, { phone: event.phone, number: invitationDays });
  // What was understood: she may have keyed in another day, and the mother is not asked for it again.
  say(draft, 'counsellor.answers.weight', {
    day: shortDay(event.bornOn),
    kilos: Math.floor(event.birthWeightGrams / 1000),
    grams: event.birthWeightGrams % 1000,
  });
}

/** She did not take it up: what was keyed in for her is gone, her number too where nothing else is kept of her. */
export function endInvitation(draft: Draft): void {
  const { state } = draft;
  if ((state.invitation ?? null) === null) return;
  note(draft, 'invitation-ended', {});
  const isNobody = state.standing === 'guest' && state.alerts.length === 0 && state.unconfirmed === null;
  change(draft, { invitation: null });
  if (!isNobody) return;
  draft.state = { ...withoutArea(draft.state), phone: '', lastSaid: [], dialog: null };
}

/** She agreed: the enrolment begins with what the counsellor has keyed in already answered. */
export function openEnrolment(draft: Draft): void {
  const invitation = draft.state.invitation ?? null;
  const said = draft.says.length;
  open(draft, 'enrolment');
  if (invitation === null) return;
  change(draft, { invitation: null });
  dropDues(draft, (d) => d.kind === 'invitation-ends');
  const { content } = draft.world;
  const answer = (read: Readonly<Record<string, string | number>>) => {
    draft.says.length = said;
    move(draft, { type: 'ANSWER', read, doubt: null, facts: factsOf(draft) });
  };
  const asks = () => {
    const standing = content.dialogs.standing(draft.state.dialog);
    return standing.kind === 'asking' ? standing.step.ask?.map((f) => f.field) : undefined;
  };
  if (asks()?.includes('language') === true)
    answer({ language: content.languages.indexOf(draft.state.language) + 1 });
  if (asks()?.includes('born') === true)
    answer({ born: invitation.bornOn, 'weight#0': invitation.birthWeightGrams });
}

function routineFrom({ world }: Draft): number {
  const { calendar, now, programme } = world;
  const minute = calendar.minuteOfDay(now);
  if (minute < programme.quietUntilMinuteOfDay)
    return calendar.instant(calendar.day(now), programme.quietUntilMinuteOfDay);
  if (minute < programme.quietFromMinuteOfDay) return now;
  return calendar.instant(calendar.plusDays(calendar.day(now), 1), programme.quietUntilMinuteOfDay);
}
