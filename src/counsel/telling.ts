import { changeAlert, type Draft, note } from '../dialog/draft.ts';
import type { Alert, LineState } from '../dialog/line.ts';
import type { Counsellor, World } from '../dialog/world.ts';
import { alertSay } from './alert-words.ts';
import { areaOf } from './area.ts';
import { climbsByCall, workingFrom } from './climbing.ts';
import { counsellorById, isCovered, onDuty, rotaOf } from './rota.ts';

/** Who would be told of a new alert of this line now. Undefined only where there is no counsellor. */
export function answering(draft: Pick<Draft, 'state' | 'world'>): Counsellor | undefined {
  const { state, world } = draft;
  return onDuty(rotaOf(world), world.now, 0, state.language, areaOf(state, world.programme));
}

/**
 * Whether a counsellor who may see this line's mothers is on duty now; otherwise the lead is told, and the mother must not be
 * promised a quick call.
 */
export function isSomebodyOnDuty({ state, world }: Pick<Draft, 'state' | 'world'>): boolean {
  return isCovered(rotaOf(world), world.now, areaOf(state, world.programme));
}

/** Who is to be told of an alert next: who has it, to whom it was handed, or whom the rota names for its rung. */
export function tellingOf(state: LineState, alert: Alert, world: World): Counsellor | undefined {
  const { programme } = world;
  const named = alert.acknowledgedBy ?? (alert.climbed <= 1 ? alert.offeredTo : null) ?? null;
  const holder = named === null ? undefined : counsellorById(programme, named);
  const area = areaOf(state, programme);
  return holder ?? onDuty(rotaOf(world), tellAt(alert, world), alert.climbed, state.language, area);
}

/**
 * Tell the next person: at once for tier A, in working hours for tier B. A call goes with the text from the second person on, and
 * to a lead who is told because nobody is on duty: she may be asleep.
 * @param first said before the alert itself
 */
export function tell(
  draft: Draft,
  alert: Alert,
  first: readonly { key: string; values: Record<string, string> }[] = [],
): void {
  const { world, state } = draft;
  const counsellor = tellingOf(state, alert, world);
  if (counsellor === undefined) {
    note(draft, 'alert-nobody', { code: alert.code });
    return;
  }
  const covered = isCovered(rotaOf(world), tellAt(alert, world), areaOf(state, world.programme));
  const message = {
    to: { kind: 'counsellor', id: counsellor.id },
    purpose: 'alert',
    notBefore: tellAt(alert, world),
    sendBefore: null,
    alertId: alert.id,
  } as const;
  const says = [...first, alertSay(state, alert, world, counsellor.language)];
  const byCall = climbsByCall(alert) || (alert.tier === 'A' && !covered);
  draft.sends.push({ ...message, says, channel: 'text' });
  if (byCall) draft.sends.push({ ...message, says, channel: 'call' });
  changeAlert(draft, alert.id, { toldInTurn: state.turns });
  note(draft, 'alert-told', { code: alert.code, to: counsellor.id, climbed: alert.climbed, byCall, covered });
}

/** When somebody is told of an alert that is told of now: of tier B in working hours only. Epoch milliseconds. */
export function tellAt(alert: Alert, world: World): number {
  return alert.tier === 'B' ? workingFrom(world.now, world) : world.now;
}
