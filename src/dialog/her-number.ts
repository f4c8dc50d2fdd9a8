import { ageInDays } from '../care/age.ts';
import type { CarrierFault } from '../channels/carrier.ts';
import { openAlerts, raiseAlert } from '../counsel/alerts.ts';
import { tellingOf } from '../counsel/telling.ts';
import type { NumberKept } from './call-kept.ts';
import { change, changeAlert, type Draft, dropDues, note } from './draft.ts';
import type { Alert } from './line.ts';

/** What a counsellor is told about a mother's number: reasons of a concern, by the name of their words. */
export const numberReasonCodes = [
  'number-dead',
  'no-texts',
  'stopped-at-carrier',
  'unreachable',
  'safety-not-heard',
] as const;
export type NumberReason = (typeof numberReasonCodes)[number];

/**
 * A phone that was off on so many different days is no longer just off; that of a baby under 14 days is then looked after on the same
 * day, as a silence would be. Common practice, no source.
 */
const daysUnreachable = 3;
const newbornDays = 14;

const reasonFor: Readonly<Record<NumberKept['trouble'], NumberReason>> = {
  'wrong-number': 'number-dead',
  landline: 'no-texts',
  'opted-out': 'stopped-at-carrier',
  unreachable: 'unreachable',
};

/**
 * A text to her could not be delivered. Where that is likely to last, a person is told, once.
 * @param wasQuestion it was the day's question: whatever lost it, she was not reached on that day
 */
export function noteUndelivered(draft: Draft, fault: CarrierFault | null, wasQuestion = false): void {
  const { state, world } = draft;
  if (fault === 'opted-out') stoppedAtCarrier(draft);
  const isOfNumber = fault === 'wrong-number' || fault === 'landline' || fault === 'opted-out';
  if (!isOfNumber && fault !== 'unreachable' && !wasQuestion) return;
  const kept = state.number ?? null;
  const days = [...new Set([...(kept?.days ?? []), world.calendar.day(world.now)])].slice(-daysUnreachable);
  const isSame = kept !== null && (kept.trouble === fault || (!isOfNumber && kept.trouble !== 'unreachable'));
  const told = isSame && kept.told;
  const lasts = isOfNumber || days.length >= (wasQuestion && isWaitedFor(draft) ? 1 : daysUnreachable);
  const trouble = isOfNumber ? fault : isSame ? kept.trouble : 'unreachable';
  change(draft, { number: { trouble, days, told: told || lasts } });
  // A number that takes no texts can still be rung: from now on she is asked by call.
  if (fault === 'landline')
    change(draft, { mothers: state.mothers.map((m) => ({ ...m, askedBy: 'call' as const })) });
  if (!lasts || told) return;
  const isUrgent = wasQuestion && trouble === 'unreachable' && isNewborn(draft);
  tellOfNumber(draft, state.writing, reasonFor[trouble], isUrgent ? 'B' : 'C');
}

/** Whether somebody waits for her answers: then a question that does not reach her is told at once, as her silence would be. */
function isWaitedFor(draft: Draft): boolean {
  return openAlerts(draft).some((a) => a.tier !== 'C' || a.reasons.includes('silent'));
}

function isNewborn({ state, world }: Draft): boolean {
  const today = world.calendar.day(world.now);
  return state.mothers.some((m) => m.babies.some((b) => ageInDays(b.bornOn, today) < newbornDays));
}

/** A text arrived, or she wrote or rang: whatever was wrong with her number is over. */
export function noteReached(draft: Draft): void {
  if ((draft.state.number ?? null) !== null) change(draft, { number: null });
}

/** Whether routine words would go to a number that is known to be dead. A closed concern means: try again. */
export function isDead({ state }: Pick<Draft, 'state'>): boolean {
  if (state.number?.trouble !== 'wrong-number') return false;
  return state.alerts.some((a) => a.stage !== 'resolved' && a.reasons.includes('number-dead'));
}

/**
 * Tells the counsellor about a mother's number. With an open alert of tier A or B, whoever has it, or is to be told of it next, is
 * texted at once; otherwise it stands on the list of whom to reach.
 * @param tier of a concern that is raised for it
 */
export function tellOfNumber(
  draft: Draft,
  mother: number,
  reason: NumberReason,
  tier: 'B' | 'C' = 'C',
): void {
  const urgent = openAlerts(draft).filter((a) => a.tier !== 'C');
  const alert = urgent.find((a) => a.mother === mother) ?? urgent.at(0);
  note(draft, 'number-trouble', { reason });
  if (alert === undefined) {
    const who = draft.state.mothers[mother] === undefined ? -1 : mother;
    raiseAlert(draft, { tier, mother: who, signs: [], reasons: [reason], words: '', confirmed: true });
    return;
  }
  if (!alert.reasons.includes(reason)) changeAlert(draft, alert.id, { reasons: [...alert.reasons, reason] });
  sendNotice(draft, alert, reason);
}

function sendNotice(draft: Draft, alert: Alert, reason: NumberReason): void {
  const { state, world } = draft;
  const counsellor = tellingOf(state, alert, world);
  if (counsellor === undefined) return;
  const what = world.content.wording.say(`reason.${reason}`, {}, counsellor.language, 'text');
  draft.sends.push({
    to: { kind: 'counsellor', id: counsellor.id },
    channel: 'text',
    says: [{ key: 'counsellor.number', values: { code: alert.code, what } }],
    purpose: 'alert',
    notBefore: world.now,
    sendBefore: null,
  });
}

/** She sent the stop word to the carrier, which keeps our texts from her: that is her stop, and no sender may get round it. */
function stoppedAtCarrier(draft: Draft): void {
  if (draft.state.standing !== 'enrolled') return;
  note(draft, 'stopped', { words: '', by: 'carrier' });
  change(draft, { standing: 'stopped', dialog: null });
  dropDues(draft, (d) => d.kind === 'check-in' || d.kind === 'diet' || d.kind === 'tip' || d.kind === 'idle');
}
