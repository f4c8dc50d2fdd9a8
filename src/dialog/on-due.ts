import { ageInDays } from '../care/age.ts';
import { oldestAgeDays } from '../care/check-in-rhythm.ts';
import { climb, raiseAlert } from '../counsel/alerts.ts';
import { followUpDue } from '../counsel/follow-up.ts';
import { acts } from './acts.ts';
import { planCheckIn } from './check-in-plan.ts';
import { raiseUnconfirmed } from './danger-told.ts';
import { change, changeMother, type Draft, dropDues, hourMs, note, say, setDue } from './draft.ts';
import { endInvitation } from './invitation.ts';
import type { Alert, Due, LineState, Mother, RoutineDue } from './line.ts';
import { askAgain, factsOf, move, open } from './moves.ts';
import { isPaused } from './pause.ts';
import { isPromise } from './promise-told.ts';
import { callAgain } from './ring-her.ts';
import { countUnasked, isDayFull, isRoutine, planRoutine } from './routine-plan.ts';
import { rememberRoutine } from './routine-sent.ts';
import { callForSafetyText } from './safety-text.ts';
import { matterGapMs } from './spread-matters.ts';
import { tellTip } from './tip-told.ts';
import type { World } from './world.ts';
import { isWritingTime, writingTime } from './writing-hours.ts';

/**
 * Everything of the line that has fallen due. What cannot wait comes first, earliest first; then at most one routine matter, and
 * that only if it may be written now: the others, and this one if not, are planned anew at the end of the turn.
 */
export function onDue(draft: Draft): void {
  const { now } = draft.world;
  const rank = {
    'danger-unanswered': 0,
    'not-delivered': 0,
    climb: 1,
    'follow-up': 2,
    idle: 3,
    'call-again': 4,
    'invitation-ends': 6,
  } as const;
  const fallen = draft.state.dues
    .filter((d) => !isRoutine(d))
    .filter((d) => d.at <= now)
    .sort((a, b) => rank[a.kind] - rank[b.kind] || a.at - b.at);
  for (const due of fallen) {
    if (!draft.state.dues.includes(due)) continue;
    dropDues(draft, (d) => d === due);
    fire(draft, due);
  }
  countWritten(draft);
  planRoutine(draft);
  const routine = draft.state.dues.filter(isRoutine).find((d) => d.at <= now);
  // What is being said already is answered first: another question in the same text would get no answer.
  if (routine === undefined || draft.says.length > 0) return;
  dropDues(draft, (d) => d === routine);
  fireRoutine(draft, routine);
  countWritten(draft);
}

/** Words of safety and follow-ups are not counted among what she is written unasked. */
function countWritten(draft: Draft): void {
  if (draft.says.length > 0 && draft.purpose !== 'safety' && draft.purpose !== 'follow-up')
    countUnasked(draft);
}

function fire(draft: Draft, due: Exclude<Due, RoutineDue>): void {
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
      closeInTime(draft);
      return;
    case 'invitation-ends':
      endInvitation(draft);
      return;
    case 'not-delivered':
      callForSafetyText(draft);
      return;
    case 'call-again':
      callAgain(draft);
      return;
    default:
      due satisfies never;
  }
}

function fireRoutine(draft: Draft, due: RoutineDue): void {
  const mother = draft.state.mothers[due.mother];
  if (mother === undefined) return;
  switch (due.kind) {
    case 'check-in':
      checkIn(draft, due.mother, mother);
      return;
    case 'diet':
      diet(draft, due);
      return;
    case 'tip':
      tellTip(draft, due.mother);
      return;
    default:
      due.kind satisfies never;
  }
}

function checkIn(draft: Draft, index: number, mother: Mother): void {
  const { state, world } = draft;
  const today = world.calendar.day(world.now);
  const born = mother.babies[0]?.bornOn;
  if (born !== undefined && ageInDays(born, today) > oldestAgeDays) {
    note(draft, 'grown', { mother: index });
    draft.purpose = 'check-in';
    say(draft, 'check-in.grown');
    return;
  }
  if (mother.checkIns.some((c) => c.day === today)) {
    planCheckIn(draft, index);
    return;
  }
  const standing = world.content.dialogs.standing(state.dialog);
  // What she began today by herself goes on where she stopped.
  const goesOn =
    standing.kind === 'asking' &&
    standing.flow.flow === 'check-in' &&
    state.writing === index &&
    state.dialog !== null &&
    world.calendar.day(state.dialog.touchedAt) === today;
  if (state.dialog !== null && !goesOn) {
    closeIdle(draft);
    // When she is asked again is plain from the question that follows.
    draft.says.splice(0, Infinity, ...draft.says.filter((s) => s.key !== 'feedback.next'));
  }
  change(draft, { writing: index });
  changeMother(draft, index, { askedOn: today });
  planCheckIn(draft, index);
  draft.purpose = 'check-in';
  if (mother.name === null) say(draft, 'check-in.hello');
  else say(draft, 'check-in.hello-name', { name: mother.name });
  if (goesOn) askAgain(draft);
  else open(draft, 'check-in');
  rememberRoutine(draft, { mother: index, askedOn: today });
  note(draft, 'check-in-asked', { mother: index });
}

/** What she ate yesterday, asked as a message of its own after a check-in. A talk that stands open is not lost for it. */
function diet(draft: Draft, due: RoutineDue): void {
  const { now } = draft.world;
  if (draft.state.dialog !== null) {
    const wantedAt = now + 24 * hourMs;
    setDue(draft, { ...due, at: wantedAt, wantedAt });
    return;
  }
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

/**
 * A talk that nobody ends. Its last words keep their distance from other routine texts, and are left unsaid where she may not be
 * written to any more today: what she answered is judged all the same, and what is urgent is said all the same.
 */
function closeInTime(draft: Draft): void {
  const { state, world } = draft;
  const standing = world.content.dialogs.standing(state.dialog);
  // An aside may be about danger, and who is half-way on the line is asked once more: neither is put off.
  const mayWait = standing.kind === 'asking' && standing.flow.aside !== true && standing.flow.waits !== true;
  const nearest = (state.unasked ?? []).filter((at) => world.now - at < matterGapMs);
  if (mayWait && nearest.length > 0) {
    setDue(draft, { kind: 'idle', at: writingTime(Math.max(...nearest) + matterGapMs, world) });
    return;
  }
  const before = draft.says.length;
  const purpose = draft.purpose;
  closeIdle(draft);
  const said = draft.says.slice(before);
  if (said.length === 0 || draft.purpose !== purpose) return;
  if (said.some((s) => isUrgent(s.key))) {
    draft.purpose = 'safety';
    return;
  }
  if (before === 0) draft.purpose = 'check-in';
  const isTooSoon = nearest.length > 0;
  const isQuiet = isTooSoon || isPausedMother(state, world) || !isWritingTime(world.now, world);
  if (!isQuiet && !isDayFull(state, world)) return;
  draft.says.length = before;
  note(draft, 'not-said', { keys: said.map((s) => s.key) });
}

/** Words of a talk's end that cannot wait. */
function isUrgent(key: string): boolean {
  return key.startsWith('feedback.person-now') || isPromise(key);
}

function isPausedMother({ mothers, writing }: LineState, { calendar, now }: World): boolean {
  const mother = mothers[writing];
  return mother !== undefined && isPaused(mother, calendar.day(now));
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
