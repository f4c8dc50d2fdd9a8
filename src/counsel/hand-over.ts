import { changeAlert, type Draft, note } from '../dialog/draft.ts';
import {
  acknowledge,
  byId,
  type CounsellorAnswer,
  climbingAnew,
  openAlerts,
  planClimb,
  reopen,
  reopened,
  step,
} from './alerts.ts';
import { planFollowUp } from './follow-up.ts';
import { counsellorById } from './rota.ts';
import { tell } from './telling.ts';

/**
 * Gives an open alert to another counsellor. It is open until she takes it, and climbs from now as a new one would, she being
 * the first to be told: an alert on its way from one to the other must not lie between them.
 */
export function handOver(draft: Draft, code: string, by: string, to: string): CounsellorAnswer {
  const alert = openAlerts(draft).find((a) => a.code === code);
  if (alert === undefined) return { kind: 'no-alert' };
  if (alert.acknowledgedBy === to) return { kind: 'has-it', alert, by: to };
  changeAlert(draft, alert.id, {
    stage: 'raised',
    acknowledgedBy: null,
    ...climbingAnew,
    offeredTo: to,
    climbsFromAt: draft.world.now,
    steps: [...alert.steps, { ...step(draft, 'handed-over', by), note: to }],
  });
  note(draft, 'alert-handed-over', { code, by, to });
  const given = byId(draft, alert.id);
  const from = counsellorById(draft.world.programme, by)?.name ?? by;
  tell(draft, given, [{ key: 'counsellor.given', values: { from } }]);
  planClimb(draft, given);
  return { kind: 'done', alert: byId(draft, alert.id) };
}

/** A counsellor opens a closed alert again. It is hers until she closes it or hands it on. */
export function openAgain(draft: Draft, code: string, by: string): CounsellorAnswer {
  const alert = draft.state.alerts.find((a) => a.code === code);
  if (alert === undefined) return { kind: 'no-alert' };
  if (alert.stage !== 'resolved') return acknowledge(draft, code, by);
  changeAlert(draft, alert.id, {
    ...reopened(draft, alert),
    stage: 'acknowledged',
    acknowledgedBy: by,
    steps: [...alert.steps, step(draft, 'reopened', by), step(draft, 'acknowledged', by)],
  });
  const again = byId(draft, alert.id);
  note(draft, 'alert-reopened', { code: again.code, by });
  planFollowUp(draft, again);
  return { kind: 'done', alert: again };
}

/** She took it and was to be connected, but the mother's phone was not answered: others are told again. */
export function notConnected(draft: Draft, code: string, by: string, status: string): CounsellorAnswer {
  const alert = openAlerts(draft).find((a) => a.code === code);
  if (alert === undefined) return { kind: 'no-alert' };
  note(draft, 'alert-not-connected', { code, by, status });
  if (alert.acknowledgedBy !== by) return { kind: 'done', alert };
  reopen(draft, alert.id, by);
  return { kind: 'done', alert: byId(draft, alert.id) };
}
