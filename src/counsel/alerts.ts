import type { Sign, Tier } from '../care/signs.ts';
import {
  change,
  changeAlert,
  changeMother,
  type Draft,
  dropDues,
  hourMs,
  note,
  setDue,
} from '../dialog/draft.ts';
import type { Alert, AlertStep, Outcome } from '../dialog/line.ts';
import { climbAfterFailure, nextClimbAt } from './climbing.ts';
import { planFollowUp } from './follow-up.ts';
import { tell } from './telling.ts';

/** What makes an alert: signs told, or reasons of the care rules, with her words. */
export interface Concern {
  readonly tier: Exclude<Tier, 'none'>;
  readonly mother: number;
  readonly signs: readonly Sign[];
  readonly reasons: readonly string[];
  readonly words: string;
  readonly confirmed: boolean;
}

const weight = { A: 3, B: 2, C: 1 } as const;

/** Resolved alerts are kept in the line's state for so many days, for the counsellor's texts about them. */
const keptDays = 14;

export function openAlerts(draft: Draft): readonly Alert[] {
  return draft.state.alerts.filter((a) => a.stage !== 'resolved');
}

/**
 * Raise a concern. It joins the open alert of the same mother where there is one, which it can raise and never lower.
 * @returns the alert as it stands now
 */
export function raiseAlert(draft: Draft, concern: Concern): Alert {
  const open = openAlerts(draft).find((a) => a.mother === concern.mother);
  if (open === undefined) return raiseNew(draft, concern);
  const raised = weight[concern.tier] > weight[open.tier];
  const signs = [
    ...open.signs,
    ...concern.signs.filter((s) => !open.signs.some((o) => o.code === s.code && o.who === s.who)),
  ];
  const reasons = [...new Set([...open.reasons, ...concern.reasons])];
  const news = signs.length > open.signs.length || reasons.length > open.reasons.length;
  const confirms = concern.confirmed && !open.confirmed;
  const words = concern.words === '' || open.words.includes(concern.words) ? open.words : concern.words;
  changeAlert(draft, open.id, {
    tier: raised ? concern.tier : open.tier,
    signs,
    reasons,
    words,
    confirmed: open.confirmed || concern.confirmed,
    ...(raised
      ? { stage: 'raised' as const, acknowledgedBy: null, ...climbingAnew, raisedAt: draft.world.now }
      : {}),
    steps: [...open.steps, step(draft, 'joined', 'line')],
  });
  note(draft, 'alert-joined', {
    code: open.code,
    tier: concern.tier,
    signs: concern.signs,
    reasons: concern.reasons,
  });
  const alert = byId(draft, open.id);
  if (raised || ((news || confirms) && alert.tier !== 'C')) tell(draft, alert);
  if (raised) {
    planClimb(draft, alert);
    planFollowUp(draft, alert);
  }
  return alert;
}

function raiseNew(draft: Draft, concern: Concern): Alert {
  const { world } = draft;
  const id = `${draft.lineId}.${draft.state.turns}`;
  const alert: Alert = {
    id,
    code: freeCode(draft, id),
    ...concern,
    raisedAt: world.now,
    stage: 'raised',
    acknowledgedBy: null,
    outcome: null,
    steps: [step(draft, 'raised', 'line')],
    climbed: 0,
  };
  const since = world.now - keptDays * 24 * hourMs;
  change(draft, {
    alerts: [...draft.state.alerts.filter((a) => a.stage !== 'resolved' || a.raisedAt >= since), alert],
  });
  note(draft, 'alert-raised', {
    code: alert.code,
    tier: alert.tier,
    signs: alert.signs,
    reasons: alert.reasons,
    confirmed: alert.confirmed,
  });
  if (alert.tier !== 'C') tell(draft, alert);
  planClimb(draft, alert);
  planFollowUp(draft, alert);
  return alert;
}

/** Nobody acknowledged in time: the next person is told. Does nothing once somebody has it. */
export function climb(draft: Draft, alertId: string): void {
  const alert = draft.state.alerts.find((a) => a.id === alertId);
  if (alert === undefined || alert.stage === 'acknowledged' || alert.stage === 'resolved') return;
  changeAlert(draft, alertId, { climbed: alert.climbed + 1 });
  const higher = byId(draft, alertId);
  note(draft, 'alert-climbed', { code: alert.code, climbed: higher.climbed });
  tell(draft, higher);
  planClimb(draft, higher);
}

/**
 * A message that tells of the alert will not arrive: the next person is told soon. One of an earlier rung says nothing about the
 * person who was told since.
 * @param outboxId begins with the line's id and the turn that made it
 */
export function noteNotReached(draft: Draft, alertId: string, outboxId: string): void {
  const alert = draft.state.alerts.find((a) => a.id === alertId);
  if (alert === undefined || alert.stage === 'acknowledged' || alert.stage === 'resolved') return;
  const turn = Number(outboxId.slice(draft.lineId.length + 1).split('.')[0]);
  if (alert.toldInTurn !== undefined && turn < alert.toldInTurn) return;
  // Not once more to the same person: she is the one who cannot be reached.
  changeAlert(draft, alertId, { climbed: Math.max(1, alert.climbed) });
  const failed = byId(draft, alertId);
  const at = climbAfterFailure(failed, draft.world);
  const due = draft.state.dues.find((d) => d.kind === 'climb' && d.alertId === alertId);
  if (at === undefined || (due !== undefined && due.at <= at)) return;
  setDue(draft, { kind: 'climb', at, alertId });
}

/** The carrier took a text or a call that tells of the alert. */
export function noteNotified(draft: Draft, alertId: string): void {
  const alert = draft.state.alerts.find((a) => a.id === alertId);
  if (alert === undefined || alert.stage !== 'raised') return;
  changeAlert(draft, alertId, {
    stage: 'notified',
    steps: [...alert.steps, step(draft, 'notified', 'line')],
  });
}

export type CounsellorAnswer =
  | { readonly kind: 'no-alert' }
  | { readonly kind: 'done'; readonly alert: Alert }
  | { readonly kind: 'has-it'; readonly alert: Alert; readonly by: string };

/** The first to answer has the alert; a second one is told who. */
export function acknowledge(draft: Draft, code: string, by: string): CounsellorAnswer {
  const alert = openAlerts(draft).find((a) => a.code === code);
  if (alert === undefined) return { kind: 'no-alert' };
  if (alert.acknowledgedBy !== null && alert.acknowledgedBy !== by) {
    return { kind: 'has-it', alert, by: alert.acknowledgedBy };
  }
  if (alert.acknowledgedBy === null) {
    changeAlert(draft, alert.id, {
      stage: 'acknowledged',
      acknowledgedBy: by,
      steps: [...alert.steps, step(draft, 'acknowledged', by)],
    });
    dropDues(draft, (d) => d.kind === 'climb' && d.alertId === alert.id);
    note(draft, 'alert-acknowledged', { code, by });
  }
  return { kind: 'done', alert: byId(draft, alert.id) };
}

export function addNote(draft: Draft, code: string, by: string, words: string): CounsellorAnswer {
  const alert = draft.state.alerts.find((a) => a.code === code);
  if (alert === undefined) return { kind: 'no-alert' };
  changeAlert(draft, alert.id, { steps: [...alert.steps, { ...step(draft, 'note', by), note: words }] });
  note(draft, 'alert-note', { code, by, words });
  return { kind: 'done', alert: byId(draft, alert.id) };
}

/** A person closes it, with what came of it. The follow-up to the mother stays due. */
export function resolve(
  draft: Draft,
  code: string,
  by: string,
  outcome: Outcome,
  words: string,
): CounsellorAnswer {
  const alert = openAlerts(draft).find((a) => a.code === code);
  if (alert === undefined) return { kind: 'no-alert' };
  changeAlert(draft, alert.id, {
    stage: 'resolved',
    acknowledgedBy: alert.acknowledgedBy ?? by,
    outcome,
    steps: [...alert.steps, { ...step(draft, 'resolved', by), ...(words === '' ? {} : { note: words }) }],
  });
  dropDues(draft, (d) => d.kind === 'climb' && d.alertId === alert.id);
  if (outcome === 'died') fallSilent(draft, alert.mother);
  note(draft, 'alert-resolved', { code, by, outcome, words });
  return { kind: 'done', alert: byId(draft, alert.id) };
}

/**
 * After a death the line asks this mother nothing more by itself. Others on the phone are asked as before, unless nobody knows
 * which of them it was.
 */
function fallSilent(draft: Draft, mother: number): void {
  const isHers = (index: number) => mother === -1 || index === mother;
  const hers = new Set(draft.state.alerts.filter((a) => isHers(a.mother)).map((a) => a.id));
  dropDues(
    draft,
    (d) => ('mother' in d && isHers(d.mother)) || (d.kind === 'follow-up' && hers.has(d.alertId)),
  );
  // She may come back after a stop or a rest: the line must not begin to ask again then.
  for (const index of draft.state.mothers.keys())
    if (isHers(index)) changeMother(draft, index, { leftInPeace: true });
  if (!isHers(draft.state.writing)) return;
  dropDues(draft, (d) => d.kind === 'idle');
  change(draft, { dialog: null });
}

/** The alert is open again for all and climbs from the start: she did not reach care, or it is worse, or she could not be called. */
export function reopen(draft: Draft, alertId: string, by = 'mother'): void {
  const alert = draft.state.alerts.find((a) => a.id === alertId);
  if (alert === undefined) return;
  changeAlert(draft, alertId, {
    stage: 'raised',
    ...reopened(draft, alert),
    steps: [...alert.steps, step(draft, 'reopened', by)],
  });
  const again = byId(draft, alertId);
  note(draft, 'alert-reopened', { code: again.code, by });
  tell(draft, again);
  planClimb(draft, again);
  planFollowUp(draft, again);
}

/** Climbing from the first rung again. */
export const climbingAnew = { climbed: 0, offeredTo: null, followUpsAsked: 0 } as const;

/** What is undone when an alert is opened again. Its code may be another open alert's by now: then it gets a new one. */
export function reopened(draft: Draft, alert: Alert): Partial<Alert> {
  return {
    acknowledgedBy: null,
    outcome: null,
    raisedAt: draft.world.now,
    ...climbingAnew,
    ...(draft.world.salt === 0 || alert.stage !== 'resolved' ? {} : { code: freeCode(draft, alert.id) }),
  };
}

export function planClimb(draft: Draft, alert: Alert): void {
  const at = nextClimbAt(alert, draft.world);
  if (at !== undefined) setDue(draft, { kind: 'climb', at, alertId: alert.id });
}

/** @throws Error when the alert is not of this line */
export function byId(draft: Draft, id: string): Alert {
  const alert = draft.state.alerts.find((a) => a.id === id);
  if (alert === undefined) throw new Error(`no alert ${id} on its own line`);
  return alert;
}

export function step(draft: Draft, what: AlertStep['what'], by: string): AlertStep {
  return { at: draft.world.now, what, by };
}

/** Four digits from the alert's id, stepping on past the codes of this line; other lines' are told apart by the store. */
function freeCode(draft: Draft, id: string): string {
  let h = 0x811c9dc5;
  for (const c of `${id}/${draft.world.salt}`) h = Math.imul(h ^ c.charCodeAt(0), 0x01000193) >>> 0;
  const taken = new Set(draft.state.alerts.map((a) => a.code));
  for (let i = 0; ; i++) {
    const code = String(1000 + ((h + i) % 9000));
    if (!taken.has(code)) return code;
  }
}
