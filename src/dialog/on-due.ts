import { ageInDays } from '../care/age.ts';
import { oldestAgeDays } from '../care/check-in-rhythm.ts';
import { climb, raiseAlert } from '../counsel/alerts.ts';
import { followUpDue } from '../counsel/follow-up.ts';
import { acts } from './acts.ts';
import { planCheckIn } from './check-in-plan.ts';
import { raiseUnconfirmed } from './danger-told.ts';
import { change, type Draft, dropDues, hourMs, minuteMs, note, say, setDue } from './draft.ts';
import { endInvitation } from './invitation.ts';
import type { Alert, Due } from './line.ts';
import { askAgain, factsOf, move, open } from './moves.ts';

/**
 * A dialog touched so lately is not talked over by a check-in; a question about a danger is left standing longer, since her
 * answer to it matters more than the day's figures. Common practice, no source.
 */
const busyMinutes = 120;
const busyWithDangerMinutes = 360;
const ofDanger: ReadonlySet<string> = new Set(['follow-up', 'danger-check']);

/** Everything of the line that has fallen due, earliest first. Safety matters before routine ones. */
export function onDue(draft: Draft): void {
  const { now } = draft.world;
  const rank: Readonly<Record<Due['kind'], number>> = {
    'danger-unanswered': 0,
    climb: 1,
    'follow-up': 2,
    idle: 3,
    'check-in': 5,
    diet: 6,
    'invitation-ends': 6,
  };
  const fallen = draft.state.dues
    .filter((d) => d.at <= now)
    .sort((a, b) => rank[a.kind] - rank[b.kind] || a.at - b.at);
  for (const due of fallen) {
    if (!draft.state.dues.includes(due)) continue;
    dropDues(draft, (d) => d === due);
    fire(draft, due);
  }
}

function fire(draft: Draft, due: Due): void {
  switch (due.kind) {
    case 'danger-unanswered':
      note(draft, 'danger-unanswered', {});
      raiseUnconfirmed(draft);
      return;
    case 'climb':
      climb(draft, due.alertId);
      return;
    case 'follow-up':
      followUp(draft, due);
      return;
    case 'idle':
      closeIdle(draft);
      return;
    case 'check-in':
      checkIn(draft, due);
      return;
    case 'diet':
      diet(draft, due);
      return;
    case 'invitation-ends':
      endInvitation(draft);
      return;
    default:
      due satisfies never;
  }
}

function checkIn(draft: Draft, due: Extract<Due, { kind: 'check-in' }>): void {
  const { state, world } = draft;
  const mother = state.mothers[due.mother];
  if (mother === undefined || state.standing !== 'enrolled') return;
  const born = mother.babies[0]?.bornOn;
  if (born !== undefined && ageInDays(born, world.calendar.day(world.now)) > oldestAgeDays) {
    note(draft, 'grown', { mother: due.mother });
    draft.purpose = 'check-in';
    say(draft, 'check-in.grown');
    return;
  }
  const minute = world.calendar.minuteOfDay(world.now);
  const quiet =
    minute < world.programme.quietUntilMinuteOfDay || minute >= world.programme.quietFromMinuteOfDay;
  const standing = world.content.dialogs.standing(state.dialog);
  const patience =
    standing.kind === 'asking' && ofDanger.has(standing.flow.flow) ? busyWithDangerMinutes : busyMinutes;
  const busy = state.dialog !== null && world.now - state.dialog.touchedAt < patience * minuteMs;
  const isCheckIn = standing.kind === 'asking' && standing.flow.flow === 'check-in';
  if (!quiet && draft.says.length > 0 && (standing.kind === 'quiet' || isCheckIn)) {
    // A talk was just closed, or the other mother of the phone asked: she is asked later today, not left out each day.
    setDue(draft, { ...due, at: world.now + hourMs });
    return;
  }
  if (quiet || draft.says.length > 0) {
    planCheckIn(draft, due.mother);
    return;
  }
  if (busy) {
    setDue(draft, { ...due, at: world.now + hourMs });
    return;
  }
  const today = world.calendar.day(world.now);
  if (mother.checkIns.some((c) => c.day === today)) {
    planCheckIn(draft, due.mother);
    return;
  }
  // What she began today by herself goes on where she stopped.
  const goesOn =
    isCheckIn &&
    state.writing === due.mother &&
    state.dialog !== null &&
    world.calendar.day(state.dialog.touchedAt) === today;
  if (state.dialog !== null && !goesOn) {
    closeIdle(draft);
    // When she is asked again is plain from the question that follows.
    draft.says.splice(0, Infinity, ...draft.says.filter((s) => s.key !== 'feedback.next'));
  }
  change(draft, { writing: due.mother });
  planCheckIn(draft, due.mother);
  draft.purpose = 'check-in';
  if (mother.name === null) say(draft, 'check-in.hello');
  else say(draft, 'check-in.hello-name', { name: mother.name });
  if (goesOn) askAgain(draft);
  else open(draft, 'check-in');
  note(draft, 'check-in-asked', { mother: due.mother });
}

/** What she ate yesterday, asked as a message of its own after a check-in. When anything else is being said, not today. */
function diet(draft: Draft, due: Extract<Due, { kind: 'diet' }>): void {
  const { state, world } = draft;
  const minute = world.calendar.minuteOfDay(world.now);
  const quiet =
    minute < world.programme.quietUntilMinuteOfDay || minute >= world.programme.quietFromMinuteOfDay;
  if (state.standing !== 'enrolled' || state.dialog !== null || quiet || draft.says.length > 0) return;
  if (state.mothers[due.mother] === undefined) return;
  change(draft, { writing: due.mother });
  draft.purpose = 'check-in';
  open(draft, 'diet');
}

function followUp(draft: Draft, due: Extract<Due, { kind: 'follow-up' }>): void {
  const alert = draft.state.alerts.find((a) => a.id === due.alertId);
  if (alert === undefined) return;
  // Two questions in one text would get one answer: the other waits for the next morning's.
  if (draft.says.length > 0) {
    setDue(draft, { ...due, at: draft.world.now + hourMs });
    return;
  }
  const what = followUpDue(draft, alert);
  if (what === 'silent') raiseSilence(draft, alert);
  if (what !== 'ask') return;
  draft.purpose = 'follow-up';
  change(draft, { followUpOf: alert.id });
  if (alert.mother >= 0 && draft.state.mothers[alert.mother] !== undefined)
    change(draft, { writing: alert.mother });
  note(draft, 'follow-up-asked', { code: alert.code });
  open(draft, 'follow-up');
}

/** She never said whether she reached care, and who closed it may not know: on the list, for a person to ask. */
function raiseSilence(draft: Draft, { mother }: Alert): void {
  raiseAlert(draft, { tier: 'C', mother, signs: [], reasons: ['silent'], words: '', confirmed: true });
}

/** Closes a dialog that nobody answers: what was answered is kept and judged, the rest is unknown. */
function closeIdle(draft: Draft): void {
  const standing = draft.world.content.dialogs.standing(draft.state.dialog);
  if (standing.kind === 'quiet') return;
  if (standing.flow.waits === true) {
    // Half-way on the line she is asked once more; what she answered is kept for whenever she goes on.
    note(draft, 'asked-once-more', { flow: standing.flow.flow, step: standing.step.id });
    draft.purpose = 'follow-up';
    askAgain(draft);
    return;
  }
  const said = draft.says.length;
  for (const name of standing.flow.onIdle ?? []) {
    (acts as Readonly<Record<string, (typeof acts)[keyof typeof acts] | undefined>>)[name]?.(
      draft,
      standing.run,
    );
  }
  note(draft, 'closed-idle', { flow: standing.flow.flow, step: standing.step.id });
  const began = Object.values(standing.run.answers).some((v) => v !== null);
  // An aside that nobody ends is not worth a text.
  if (draft.says.length === said && began && standing.flow.aside !== true) say(draft, 'dialog.closed');
  if (standing.flow.aside === true) {
    // What lay under it is closed with it, so that what she answered there is kept and judged.
    const { dialogs } = draft.world.content;
    const under = dialogs.step(
      draft.state.dialog,
      { type: 'RETURN', facts: factsOf(draft) },
      draft.world.now,
    );
    change(draft, { dialog: under.at });
    if (under.at !== null) return closeIdle(draft);
  }
  move(draft, { type: 'LEAVE', facts: factsOf(draft) });
}
