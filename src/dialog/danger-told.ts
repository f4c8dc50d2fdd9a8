import { ageInDays } from '../care/age.ts';
import { signTier } from '../care/danger.ts';
import type { Sign, SignCode, Tier } from '../care/signs.ts';
import { mostUrgent } from '../care/tier.ts';
import { openAlerts, raiseAlert } from '../counsel/alerts.ts';
import { signKey } from '../counsel/alert-words.ts';
import { answering, isSomebodyOnDuty } from '../counsel/telling.ts';
import type { SignReading } from '../language/danger-reading.ts';
import { change, type Draft, dropDues, minuteMs, note, say, setDue, writingMother } from './draft.ts';
import type { Alert, LineState } from './line.ts';
import { sayPromise } from './promise-told.ts';

/** Silence after the confirming question raises the danger unconfirmed. Common practice, no source. */
const unansweredMinutes = 10;

export interface JudgedSign {
  readonly sign: Sign;
  readonly sure: boolean;
  readonly tier: Tier;
}

/** Signs with their tiers for the youngest baby on the line, most urgent first; sure before unsure. */
export function judgeSigns(
  signs: readonly SignReading[],
  state: LineState,
  today: string,
): readonly JudgedSign[] {
  const ages = state.mothers.flatMap((m) => m.babies.map((b) => ageInDays(b.bornOn, today)));
  const youngest = ages.length === 0 ? undefined : Math.max(0, Math.min(...ages));
  const codes: readonly SignCode[] = signs.map((s) => s.code);
  const order = { A: 0, B: 1, C: 2, none: 3 } as const;
  return signs
    .map(({ code, who, sure, detail }): JudgedSign => {
      const sign: Sign = { code, who, detail };
      const context = {
        ...(youngest === undefined ? {} : { babyAgeDays: youngest, motherDays: youngest }),
        alsoSigns: codes.filter((c) => c !== code),
      };
      return { sign, sure, tier: signTier(sign, context).tier };
    })
    .sort((a, b) => order[a.tier] - order[b.tier] || Number(b.sure) - Number(a.sure));
}

/**
 * Danger in her words. A sure tier A: what to do now, in this reply, and a person is told in this commit. Everything else:
 * one confirming question, and if she does not answer in ten minutes it is raised all the same.
 * @returns the aside to open, if she must be asked
 */
export function tellDanger(
  draft: Draft,
  judged: readonly JudgedSign[],
  words: string,
): 'danger-check' | undefined {
  const first = judged[0];
  if (first === undefined) return undefined;
  note(draft, 'danger-told', {
    signs: judged.map(({ sign, sure, tier }) => ({ code: sign.code, who: sign.who, sure, tier })),
  });
  const signs = judged.map((j) => j.sign);
  const sureA = judged.find((j) => j.tier === 'A' && j.sure);
  if (sureA !== undefined) {
    raiseAlert(draft, { tier: 'A', mother: toldOf(draft), signs, reasons: [], words, confirmed: true });
    forgetUnconfirmed(draft);
    draft.purpose = 'safety';
    draft.hangUp = true;
    saySafety(draft, sureA.sign);
    return undefined;
  }
  const pending = draft.state.unconfirmed;
  const earlier = pending?.signs ?? [];
  change(draft, {
    unconfirmed: {
      signs: [...signs, ...earlier.filter((e) => !signs.some((s) => s.code === e.code && s.who === e.who))],
      words: pending === null ? words : `${pending.words} / ${words}`.slice(0, 480),
      // The clock runs from the first time it was told: asking again must not put the alarm off.
      askedAt: pending?.askedAt ?? draft.world.now,
    },
  });
  if (pending === null)
    setDue(draft, { kind: 'danger-unanswered', at: draft.world.now + unansweredMinutes * minuteMs });
  draft.purpose = 'safety';
  say(draft, 'danger.check', {
    sign: signWords(draft, first.sign),
    emergency: draft.world.programme.emergencyNumber,
  });
  return 'danger-check';
}

/** She said yes, it is so. */
export function raiseConfirmed(draft: Draft): void {
  raisePending(draft, true);
}

/** Silence, or an answer that could not be read: raised as unconfirmed. */
export function raiseUnconfirmed(draft: Draft): void {
  raisePending(draft, false);
}

function raisePending(draft: Draft, confirmed: boolean): void {
  const pending = draft.state.unconfirmed;
  if (pending === null) {
    // Already raised by the clock: her late answer confirms the open alert.
    const open = openAlerts(draft).find((a) => a.mother === toldOf(draft));
    if (open === undefined || !confirmed) return;
    const confirmedNow = raiseAlert(draft, {
      ...open,
      mother: open.mother,
      reasons: [],
      words: '',
      confirmed: true,
    });
    sayPending(draft, open.tier, open.signs, confirmedNow);
    return;
  }
  const judged = judgeSigns(
    pending.signs.map((s) => ({ code: s.code, who: s.who, sure: true, matched: '', detail: s.detail ?? {} })),
    draft.state,
    draft.world.calendar.day(draft.world.now),
  );
  const told = mostUrgent(judged.map((j) => j.tier));
  const tier = told === 'none' ? 'C' : told;
  const alert = raiseAlert(draft, {
    tier,
    mother: toldOf(draft),
    signs: pending.signs,
    reasons: [],
    words: pending.words,
    confirmed,
  });
  forgetUnconfirmed(draft);
  sayPending(
    draft,
    tier,
    judged.map((j) => j.sign),
    alert,
  );
}

function sayPending(draft: Draft, tier: 'A' | 'B' | 'C', signs: readonly Sign[], alert: Alert): void {
  const first = signs[0];
  draft.purpose = 'safety';
  if (tier === 'A' && first !== undefined) {
    draft.hangUp = true;
    saySafety(draft, first);
  } else {
    sayPromise(draft, 'danger', alert);
  }
}

/** She said that it is not so now. It stays in the journal and on the counsellor's list: her no is not the last word. */
export function setDangerAside(draft: Draft): void {
  const pending = draft.state.unconfirmed;
  if (pending !== null) {
    raiseAlert(draft, {
      tier: 'C',
      mother: toldOf(draft),
      signs: pending.signs,
      reasons: ['said-not-now'],
      words: pending.words,
      confirmed: false,
    });
  }
  forgetUnconfirmed(draft);
  say(draft, 'danger.not-now', { emergency: draft.world.programme.emergencyNumber });
}

/** What to do now, for this sign: go, and what to do on the way. */
function saySafety(draft: Draft, sign: Sign): void {
  const values = { emergency: draft.world.programme.emergencyNumber, name: person(draft) };
  say(draft, `safety.${sign.who}.${sign.code}`, values);
  say(draft, whoIsTold(draft), { ...values, name: answering(draft)?.name ?? values.name });
}

/** Whether a counsellor is on duty: she must know whether to wait for a call. */
export function whoIsTold(draft: Draft): 'safety.told' | 'safety.nobody-on-duty' | 'safety.nobody' {
  if (draft.world.programme.counsellors.length === 0) return 'safety.nobody';
  return isSomebodyOnDuty(draft) ? 'safety.told' : 'safety.nobody-on-duty';
}

function signWords(draft: Draft, sign: Sign): string {
  return draft.world.content.wording.say(signKey(sign), {}, draft.state.language, draft.channel);
}

function forgetUnconfirmed(draft: Draft): void {
  change(draft, { unconfirmed: null });
  dropDues(draft, (d) => d.kind === 'danger-unanswered');
}

/** Which mother the words are of: the one writing; on a shared phone with nobody in a dialog, not known. */
export function toldOf(draft: Draft): number {
  return draft.state.mothers.length > 1 && draft.state.dialog === null ? -1 : draft.state.writing;
}

function person(draft: Draft): string {
  return writingMother(draft) === undefined
    ? draft.world.programme.name
    : (answering(draft)?.name ?? draft.world.programme.name);
}
