import { ageInDays } from '../care/age.ts';
import { isMoodTalkDue } from '../care/mood.ts';
import { isWeighingDue } from '../care/weighing-rhythm.ts';
import { acts } from './acts.ts';
import { askSays } from './asking.ts';
import type { DialogEvent, Facts } from './dialog-context.ts';
import { writingTime } from './writing-hours.ts';
import { change, type Draft, dropDues, hourMs, say, setDue } from './draft.ts';
import type { Due } from './line.ts';
import { isRoutine } from './routine-plan.ts';

/** Acts that name a flow to open next can chain; more than this is a mistake in the flows. */
const longestChain = 6;

export function factsOf(draft: Draft): Facts {
  const { state, world } = draft;
  const mother = state.mothers[state.writing];
  const born = mother?.babies[0]?.bornOn;
  const ageDays =
    born === undefined ? undefined : Math.max(0, ageInDays(born, world.calendar.day(world.now)));
  return {
    mother,
    languageCount: world.content.languages.length,
    languageKnown: state.language !== world.programme.language,
    motherCount: state.mothers.length,
    onCall: draft.channel === 'voice',
    weighingDue:
      ageDays !== undefined && mother !== undefined && isWeighingDue(ageDays, mother.weighingAskedAtDays),
    talkDue: ageDays !== undefined && mother !== undefined && isMoodTalkDue(ageDays, mother.talkedAtDays),
  };
}

/**
 * Steps the dialog once and carries out what the step says and does, in order; then asks what the new state asks.
 * On a call she always hears what is asked now, since a silent line is a lost one.
 */
export function move(draft: Draft, event: DialogEvent, depth = 0): void {
  const { dialogs } = draft.world.content;
  const step = dialogs.step(draft.state.dialog, event, draft.world.now);
  change(draft, { dialog: step.at });
  if (step.restarted) say(draft, 'dialog.restarted');
  let next: string | undefined;
  for (const action of step.actions) {
    if (action.type === 'say') say(draft, action.text);
    if (action.type === 'act') {
      const act = (acts as Readonly<Record<string, (typeof acts)[keyof typeof acts] | undefined>>)[
        action.act
      ];
      next = act?.(draft, step.run) ?? next;
    }
  }
  if (next === 'back') return move(draft, { type: 'BACK', facts: factsOf(draft) }, depth + 1);
  if (next === 'stop') return stopLine(draft);
  if (next !== undefined && depth < longestChain) return open(draft, next, depth + 1);
  const asks = step.actions.some((a) => a.type === 'ask');
  if (asks && !draft.hangUp && !draft.holdAsk) askAgain(draft);
  planIdle(draft);
}

/** Opens a flow, or an aside on top of where she is. A confirming question is already in what was said. */
export function open(draft: Draft, flow: string, depth = 0): void {
  move(draft, { type: `OPEN.${flow}`, facts: factsOf(draft) }, depth);
}

/** Asks what the dialog stands at, if anything. */
export function askAgain(draft: Draft): void {
  const { world, state } = draft;
  const standing = world.content.dialogs.standing(state.dialog);
  if (standing.kind === 'quiet') return;
  const isSaid = draft.says.some((s) => s.key === 'danger.check');
  if (standing.flow.flow === 'danger-check' && isSaid && draft.channel === 'text') return;
  draft.says.push(...askSays(standing, state, world, draft.channel));
}

/** She wants to hear no more: at once, for texts and calls. What was raised before stays with the counsellor. */
export function stopLine(draft: Draft): void {
  // Nor is she rung for safety words sent before: she holds her phone and reads, and the counsellor has the alert.
  change(draft, { standing: 'stopped', dialog: null, calling: null, safetyText: null });
  const ringing: ReadonlySet<Due['kind']> = new Set(['idle', 'not-delivered', 'call-again']);
  dropDues(draft, (d) => isRoutine(d) || ringing.has(d.kind));
  draft.hangUp = true;
  say(draft, 'stop.done', { emergency: draft.world.programme.emergencyNumber });
}

function planIdle(draft: Draft): void {
  const standing = draft.world.content.dialogs.standing(draft.state.dialog);
  if (standing.kind === 'quiet') {
    dropDues(draft, (d) => d.kind === 'idle');
    return;
  }
  const at = draft.world.now + standing.flow.idleHours * hourMs;
  // A talk that is closed says what came of it: not in her quiet hours. An aside may be about danger and waits for nothing.
  setDue(draft, { kind: 'idle', at: standing.flow.aside === true ? at : writingTime(at, draft.world) });
}
