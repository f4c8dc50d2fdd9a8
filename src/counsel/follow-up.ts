import { changeAlert, type Draft, dropDues, hourMs, note, setDue } from '../dialog/draft.ts';
import type { Alert } from '../dialog/line.ts';
import { alertValues, briefValues, isBrief } from './alert-words.ts';
import { nextMorning } from './next-morning.ts';
import { tellingOf } from './telling.ts';

/** A mother who has not answered so many times is asked no more; a person finds out. Common practice, no source. */
const mostAsks = 3;

/** "Did you reach care?": 2 hours after a tier A alert, the next morning after tier B. Common practice, no source. */
export function planFollowUp(draft: Draft, alert: Alert): void {
  if (alert.tier === 'C') return;
  const at = alert.tier === 'A' ? draft.world.now + 2 * hourMs : nextMorning(draft);
  setDue(draft, { kind: 'follow-up', at, alertId: alert.id });
}

/** Whether she has told, since it was last raised, that she reached care or is better. */
export function isFollowedUp(alert: Alert): boolean {
  const told = alert.steps.findLast((s) => s.what === 'followed-up');
  const raised = alert.steps.findLast((s) => s.what === 'raised' || s.what === 'reopened');
  return told !== undefined && told.at >= (raised?.at ?? 0);
}

/**
 * What is to be done when a follow-up is due: ask the mother, ask the counsellor, or nothing more. It is asked again every morning
 * until there is an answer; a line that has stopped, that never joined or that stays silent is the counsellor's to find out.
 * @returns `ask`: ask the mother now; `silent`: she was asked often enough and a person thinks it closed; else `nothing`
 */
export function followUpDue(draft: Draft, alert: Alert): 'ask' | 'silent' | 'nothing' {
  if (isFollowedUp(alert)) return 'nothing';
  const { state } = draft;
  const asked = alert.followUpsAsked ?? 0;
  const canAsk = state.standing === 'enrolled' && state.mothers.length > 0 && asked < mostAsks;
  if (!canAsk) {
    // A person has said what came of it, and she cannot be asked: that is the answer. Her silence is another matter.
    if (alert.stage === 'resolved') return asked >= mostAsks ? 'silent' : 'nothing';
    askCounsellor(draft, alert);
  }
  setDue(draft, { kind: 'follow-up', at: nextMorning(draft), alertId: alert.id });
  if (canAsk) changeAlert(draft, alert.id, { followUpsAsked: asked + 1 });
  return canAsk ? 'ask' : 'nothing';
}

/** She has answered: nobody asks her again about this alert. */
export function endFollowUp(draft: Draft, alert: Alert, words: string): void {
  changeAlert(draft, alert.id, {
    steps: [...alert.steps, { at: draft.world.now, what: 'followed-up', by: 'mother', note: words }],
  });
  dropDues(draft, (d) => d.kind === 'follow-up' && d.alertId === alert.id);
  if (alert.stage === 'resolved') return;
  sendAbout(draft, alert, 'counsellor.said-reached');
}

/** The mother does not say whether she reached care: who has the alert, or is on duty, must find out. */
export function askCounsellor(draft: Draft, alert: Alert): void {
  note(draft, 'follow-up-by-counsellor', { code: alert.code });
  sendAbout(draft, alert, `counsellor.not-known${isBrief(draft.world) ? '-brief' : ''}`);
}

function sendAbout(draft: Draft, alert: Alert, key: string): void {
  const { state, world } = draft;
  const counsellor = tellingOf(state, alert, world);
  if (counsellor === undefined) return;
  const valuesOf = isBrief(world) ? briefValues : alertValues;
  draft.sends.push({
    to: { kind: 'counsellor', id: counsellor.id },
    channel: 'text',
    says: [{ key, values: valuesOf(state, alert, world, counsellor.language) }],
    purpose: 'alert',
    notBefore: world.now,
    sendBefore: null,
  });
}
