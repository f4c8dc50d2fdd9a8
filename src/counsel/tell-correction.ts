import { changeAlert, type Draft, note } from '../dialog/draft.ts';
import type { Alert } from '../dialog/line.ts';
import { alertValues, briefValues, isBrief } from './alert-words.ts';
import { tellAt, tellingOf } from './telling.ts';

/**
 * She corrected an answer after an alert was raised: it stays as urgent as it is, and who has it, or is to be told of it next,
 * learns of the correction. One that waits on the list (tier C) has it in its story only.
 * @param what the answers, from and to, in a language
 */
export function tellCorrection(draft: Draft, alert: Alert, what: (language: string) => string): void {
  const { state, world } = draft;
  const step = {
    at: world.now,
    what: 'joined',
    by: 'mother',
    note: what(world.programme.language),
  } as const;
  changeAlert(draft, alert.id, { steps: [...alert.steps, step] });
  note(draft, 'alert-correction', { code: alert.code });
  const counsellor = tellingOf(state, alert, world);
  if (alert.tier === 'C' || counsellor === undefined) return;
  const brief = isBrief(world);
  const valuesOf = brief ? briefValues : alertValues;
  const values = {
    ...valuesOf(state, alert, world, counsellor.language),
    ...(brief ? {} : { what: what(counsellor.language) }),
  };
  draft.sends.push({
    to: { kind: 'counsellor', id: counsellor.id },
    channel: 'text',
    says: [{ key: brief ? 'counsellor.corrected-brief' : 'counsellor.corrected', values }],
    purpose: 'alert',
    notBefore: tellAt(alert, world),
    sendBefore: null,
  });
}
