import { raiseAlert } from '../counsel/alerts.ts';
import type { DangerReading } from '../language/danger-reading.ts';
import { askForPerson } from './acts.ts';
import { takeCorrection } from './correction.ts';
import type { AnswerTaken } from './asking.ts';
import { judgeSigns, tellDanger, toldOf } from './danger-told.ts';
import type { Standing } from './dialog-steps.ts';
import { namesOnlyFood, takeFoodText } from './food-questions.ts';
import { change, type Draft, note, say, setDue } from './draft.ts';
import { openEnrolment } from './invitation.ts';
import { maxMothersOnLine } from './line.ts';
import { turnToNamedLanguage } from './language-named.ts';
import { askAgain, factsOf, move, open, stopLine } from './moves.ts';
import { planCheckIn } from './check-in-plan.ts';
import { withBabiesNamed } from './naming.ts';
import { isPaused } from './pause.ts';
import { promisedNow } from './promise-told.ts';
import { obeyRested, obeyRhythm } from './rhythm-command.ts';
import { takeText } from './take-text.ts';

/** Words that are danger or a command in every state come before they can be an answer. */
export function onText(draft: Draft, body: string): void {
  const { world } = draft;
  const { content } = world;
  const found = content.readDanger(withBabiesNamed(body, draft.state.mothers));
  const danger = namesFood(draft, body, found) ? { signs: [], worried: false } : found;
  if (danger.signs.length > 0) {
    const judged = judgeSigns(danger.signs, draft.state, world.calendar.day(world.now));
    const aside = tellDanger(draft, judged, body);
    if (aside !== undefined) open(draft, aside);
    return;
  }
  const told = content.commandWords.command(body);
  if (told !== undefined && obey(draft, told.command, told.language, body)) return;
  if (obeyRested(draft, body)) return;
  if (turnToNamedLanguage(draft, body)) return;
  if (obeyCorrection(draft, body)) return;
  const standing = content.dialogs.standing(draft.state.dialog);
  const { state } = draft;
  if (state.standing === 'stopped' && standing.kind === 'quiet') {
    if (danger.worried) passOn(draft, body);
    say(draft, 'stop.how-to-start');
    return;
  }
  if (state.standing === 'guest' && standing.kind === 'quiet') {
    invite(draft);
    return;
  }
  if (danger.worried && standing.kind === 'quiet') passOn(draft, body);
  if (standing.kind === 'asking') {
    const taken = takeText(standing, body, state, world);
    if (asksOfFood(standing, taken)) {
      const aboutFood = takeFoodText(draft, body);
      if (aboutFood !== undefined) {
        if (aboutFood !== 'told') open(draft, aboutFood.opens);
        return;
      }
    }
    if (danger.worried && !('worry' in taken.read)) passOn(draft, body);
    move(draft, { type: 'ANSWER', ...taken, facts: factsOf(draft) });
    // A talk of which nothing could be read ends without feedback; a text is never left without an answer.
    if (draft.says.length === 0) say(draft, 'dialog.closed');
    return;
  }
  quietText(draft, body, danger.worried);
}

/** A correction of an answer of today: changed, and asked on; or she is asked which answer she means. */
function obeyCorrection(draft: Draft, body: string): boolean {
  const correction = takeCorrection(draft, body);
  if (correction === 'ask') open(draft, 'correct-which');
  if (correction === 'taken') askAgain(draft);
  return correction !== undefined;
}

/** While she chooses or cooks, a new list or a question about food is what it is; a choice or the next step goes before. */
function asksOfFood(standing: Extract<Standing, { kind: 'asking' }>, { read, doubt }: AnswerTaken): boolean {
  if (standing.flow.flow === 'cook-step') return read['onward'] === true;
  const isFood = standing.flow.flow === 'cook-pick' || standing.flow.flow === 'food-menu';
  return isFood && doubt === null && Object.keys(read).length === 0;
}

/** Flows in which the name of one food is an answer. */
const foodFlows: readonly string[] = ['cook', 'cook-pick', 'cook-step', 'diet'];

/** Her kitchen list, where the reader of dangers took a food for one of its words. */
function namesFood({ state, world }: Draft, body: string, { signs, worried }: DangerReading): boolean {
  if (state.mothers.length === 0 || (signs.length === 0 && !worried)) return false;
  const standing = world.content.dialogs.standing(state.dialog);
  const isAsked = standing.kind === 'asking' && foodFlows.includes(standing.flow.flow);
  return namesOnlyFood(
    body,
    signs.map((s) => s.matched),
    isAsked,
    world,
  );
}

/** A text while nothing is being asked: answers to the check-in, a word for the counsellor, or hello. */
function quietText(draft: Draft, body: string, worried: boolean): void {
  const { state, world } = draft;
  if (state.mothers.length === 0) {
    open(draft, 'enrolment');
    return;
  }
  const aboutFood = worried ? undefined : takeFoodText(draft, body);
  if (aboutFood !== undefined) {
    if (aboutFood !== 'told') open(draft, aboutFood.opens);
    return;
  }
  if (state.mothers.length > 1) {
    open(draft, 'who');
    return;
  }
  if (answersUnasked(draft, 'check-in', body, 2)) return;
  if (/\p{L}|^\s*[\d०-९]{4,5}\s*$/u.test(body) && answersUnasked(draft, 'weight', body, 1)) return;
  const today = world.calendar.day(world.now);
  const answered = state.mothers[0]?.checkIns.some((c) => c.day === today) ?? false;
  if (worried) return;
  if (answered) {
    note(draft, 'said', { body });
    say(draft, 'quiet.thanks');
  } else open(draft, 'check-in');
}

/** A text that by itself answers the first step of a flow, with at least so many figures: taken as that answer. */
function answersUnasked(draft: Draft, flow: string, body: string, atLeast: number): boolean {
  const { state, world } = draft;
  const { dialogs } = world.content;
  const opened = dialogs.step(null, { type: `OPEN.${flow}`, facts: factsOf(draft) }, world.now);
  const standing = dialogs.standing(opened.at);
  if (standing.kind !== 'asking') return false;
  const taken = takeText(standing, body, state, world);
  const given = Object.values(taken.read).filter((v) => v !== null).length + (taken.doubt === null ? 0 : 1);
  if (given < atLeast) return false;
  change(draft, { dialog: opened.at });
  move(draft, { type: 'ANSWER', ...taken, facts: factsOf(draft) });
  return true;
}

function passOn(draft: Draft, body: string): void {
  raiseAlert(draft, {
    tier: 'C',
    mother: toldOf(draft),
    signs: [],
    reasons: ['worry'],
    words: body,
    confirmed: true,
  });
  say(draft, 'feedback.worry-passed-on');
}

function invite(draft: Draft): void {
  say(draft, 'invitation', {
    programme: draft.world.programme.name,
    emergency: draft.world.programme.emergencyNumber,
  });
}

/** Carries out a command word. @returns false where the word means nothing special here */
function obey(draft: Draft, command: string, language: string, body: string): boolean {
  const { state, world } = draft;
  const known = state.standing !== 'guest';
  switch (command) {
    case 'join':
      if (known && state.standing !== 'stopped') return false;
      join(draft, language, body, 'text');
      return true;
    case 'start':
      if (state.standing !== 'stopped') {
        if (!known) return false;
        if (state.mothers.some((m) => isPaused(m, world.calendar.day(world.now)))) {
          return obeyRhythm(draft, 'resume');
        }
        if (state.dialog === null) open(draft, state.mothers.length === 0 ? 'enrolment' : 'check-in');
        else askAgain(draft);
        return true;
      }
      join(draft, state.language, body, 'text');
      return true;
    case 'stop':
      if (!known) {
        say(draft, 'stop.unknown');
        return true;
      }
      note(draft, 'stopped', { words: body });
      stopLine(draft);
      if (world.programme.carrierAnswersStop) draft.says.length = 0;
      return true;
    case 'help':
      say(draft, known ? 'help' : 'invitation', {
        programme: world.programme.name,
        emergency: world.programme.emergencyNumber,
      });
      return true;
    case 'cook':
    case 'food':
      if (!known || state.mothers.length === 0) return false;
      open(draft, command === 'cook' ? 'cook' : 'food-menu');
      return true;
    case 'pause':
    case 'resume':
    case 'hour':
    case 'tips':
    case 'no-tips':
    case 'by-call':
    case 'by-text':
      return obeyRhythm(draft, command);
    case 'language':
      if (!known) return false;
      open(draft, 'language');
      return true;
    case 'repeat':
      if (!known) return false;
      draft.says.push(...promisedNow(draft, state.lastSaid));
      if (draft.says.length === 0)
        say(draft, 'help', { programme: world.programme.name, emergency: world.programme.emergencyNumber });
      return true;
    case 'back':
      if (!known) return false;
      if (state.dialog === null) say(draft, 'back.nothing');
      else move(draft, { type: 'BACK', facts: factsOf(draft) });
      return true;
    case 'person':
      askForPerson(draft, known ? state.writing : -1);
      return true;
    case 'another':
      if (!known) return false;
      if (state.mothers.length >= maxMothersOnLine) say(draft, 'enrolment.line-full');
      else open(draft, state.mothers.length === 0 ? 'enrolment' : 'another-mother');
      return true;
    default:
      return false;
  }
}

/** Her own act of joining, or of coming back. Her words, the channel and the time are the evidence of consent. */
export function join(draft: Draft, language: string, words: string, channel: 'text' | 'call'): void {
  const { state, world } = draft;
  change(draft, { standing: 'enrolled', consent: { at: world.now, words, channel } });
  note(draft, 'consent', { words, channel, language });
  if (state.mothers.length > 0) {
    state.mothers.forEach((_, i) => planCheckIn(draft, i));
    say(draft, 'start.welcome-back');
    return;
  }
  // The word JOIN is the same in several languages: who was invited keeps the one in which she was asked.
  const invited = (state.invitation ?? null) !== null;
  if (!invited && world.content.languages.includes(language)) change(draft, { language });
  openEnrolment(draft);
  // Half-enrolled and silent: asked once more by the idle time of the flow.
  if (draft.state.dialog !== null) setDue(draft, { kind: 'idle', at: world.now + 48 * 3_600_000 });
}
