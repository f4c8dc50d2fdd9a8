import { isConcernRecent } from '../care/check-in-rhythm.ts';
import { change, type Draft, hourMs, minuteMs } from './draft.ts';
import type { Alert, Due, LineState, Mother, RoutineDue } from './line.ts';
import { isPaused } from './pause.ts';
import { type Matter, spreadMatters } from './spread-matters.ts';
import { planFirstTip } from './tip-plan.ts';
import type { World } from './world.ts';
import { withinWritingHours, writingRules } from './writing-hours.ts';

/**
 * A talk touched so lately is not broken into; a question about a danger is left standing longer, since her answer to it
 * matters more than the day's figures. Common practice, no source.
 */
const busyMinutes = 120;
const busyWithDangerMinutes = 360;
const ofDanger: ReadonlySet<string> = new Set(['follow-up', 'danger-check']);

/** After a danger nothing routine is written for an hour, and no tip or question about food for a day. Common practice, no source. */
const calmHours = 1;
const calmHoursOfExtras = 24;

const keptMs = 48 * hourMs;
const rank = { 'check-in': 0, diet: 1, tip: 2 } as const;
/** A question about food or a tip gives way to check-ins for so many days. Common practice, no source. */
const patienceDays = { 'check-in': 0, diet: 3, tip: 3 } as const;

export function isRoutine(due: Due): due is RoutineDue {
  return due.kind === 'check-in' || due.kind === 'diet' || due.kind === 'tip';
}

/** A routine text goes out now: it counts towards the day's number, and the next keeps its distance. */
export function countUnasked(draft: Draft): void {
  const { now } = draft.world;
  const kept = (draft.state.unasked ?? []).filter((at) => at > now - keptMs && at !== now);
  change(draft, { unasked: [...kept, now] });
}

/** Whether the phone has had as many routine texts on this day of its clock as it may. */
export function isDayFull({ unasked = [] }: LineState, world: World): boolean {
  const { calendar, mostADay } = writingRules(world);
  const today = calendar.day(world.now);
  return unasked.filter((at) => calendar.day(at) === today).length >= mostADay;
}

/**
 * Plans everything routine of the phone anew, for all its mothers together: at most twelve matters, whatever else is on the
 * line. Called at the end of every turn, so that the due time in the store is always right and nobody has to look through lines.
 */
export function planRoutine(draft: Draft): void {
  if (draft.state.standing !== 'enrolled' || isPlanned(draft)) return;
  tendTips(draft);
  const { state, world } = draft;
  const dues = state.dues.filter(isRoutine).map((due) => sooner(due, state, world));
  if (dues.length === 0) return;
  const matters = dues.map((due) => matterOf(due, state, world));
  const times = spreadMatters(matters, state.unasked ?? [], world.now, writingRules(world));
  const planned = dues.map((due, i): RoutineDue => ({ ...due, at: times[i] ?? due.at }));
  change(draft, { dues: [...state.dues.filter((due) => !isRoutine(due)), ...planned] });
  draft.planned = draft.state;
}

/** All of a line that the plan looks at, beside its due times. */
const lookedAt = ['mothers', 'alerts', 'unconfirmed', 'dialog', 'unasked', 'noTips'] as const;

/** Planned within this turn already, and nothing that counts has changed since. With a talk open its idle time counts too. */
function isPlanned({ state, planned }: Draft): boolean {
  if (planned === undefined || state.dialog !== null) return false;
  if (lookedAt.some((part) => planned[part] !== state[part])) return false;
  const before = planned.dues.filter(isRoutine);
  const dues = state.dues.filter(isRoutine);
  return dues.length === before.length && dues.every((due, i) => due === before[i]);
}

/** Who is asked is told tips too; where nothing is asked any more, no tip is left. */
function tendTips(draft: Draft): void {
  const { mothers, dues } = draft.state;
  const has = (kind: RoutineDue['kind'], index: number) =>
    dues.some((d) => d.kind === kind && 'mother' in d && d.mother === index);
  const wantsTips = draft.state.noTips !== true && draft.world.content.tips.length > 0;
  for (const index of mothers.keys())
    if (wantsTips && has('check-in', index) && !has('tip', index)) planFirstTip(draft, index);
  const isLeft = (due: Due) => due.kind === 'tip' && (!wantsTips || !has('check-in', due.mother));
  if (dues.some(isLeft)) change(draft, { dues: draft.state.dues.filter((due) => !isLeft(due)) });
}

/** With a concern open or closed lately she is asked daily, however far the next time was put before it. */
function sooner(due: RoutineDue, state: LineState, world: World): RoutineDue {
  const wantedAt = due.wantedAt ?? due.at;
  const mother = state.mothers[due.mother];
  if (due.kind !== 'check-in' || mother === undefined || !hasConcern(state, due.mother, world))
    return { ...due, wantedAt };
  const { calendar, now } = world;
  const today = calendar.day(now);
  const minute = withinWritingHours(mother.checkInMinuteOfDay, world);
  const isDone = mother.askedOn === today || mother.checkIns.some((c) => c.day === today);
  const hers = calendar.instant(today, minute);
  const next = !isDone && hers >= now ? hers : calendar.instant(calendar.plusDays(today, 1), minute);
  return { ...due, wantedAt: Math.min(wantedAt, next) };
}

/** Whether an alert about her, or about nobody knows whom of the phone, is open or was closed within the last days. */
export function hasConcern(state: LineState, index: number, { calendar, now }: World): boolean {
  return state.alerts.some((alert) => {
    if (alert.mother !== index && alert.mother !== -1) return false;
    if (alert.stage !== 'resolved') return true;
    const closedAt = alert.steps.findLast((s) => s.what === 'resolved')?.at;
    return closedAt !== undefined && isConcernRecent(calendar.day(closedAt), calendar.day(now));
  });
}

function matterOf(due: RoutineDue, state: LineState, world: World): Matter {
  const waits = [
    pausedUntil(state.mothers[due.mother], world),
    calmFrom(due, state.alerts),
    talkUntil(due, state, world),
  ];
  if (state.unconfirmed !== null) waits.push(state.unconfirmed.askedAt + calmHours * hourMs);
  return {
    wantedAt: due.wantedAt ?? due.at,
    notBefore: Math.max(...waits),
    rank: rank[due.kind],
    patienceDays: patienceDays[due.kind],
    holdsMs: due.kind === 'tip' ? 0 : busyMinutes * minuteMs,
  };
}

function pausedUntil(mother: Mother | undefined, { calendar, now }: World): number {
  if (mother === undefined || !isPaused(mother, calendar.day(now))) return 0;
  const day = mother.paused?.untilDay ?? null;
  return day === null ? 0 : calendar.instant(day, 0);
}

function calmFrom({ kind }: RoutineDue, alerts: readonly Alert[]): number {
  const times = alerts
    .filter((a) => a.tier === 'A' || (a.tier === 'B' && a.signs.length > 0))
    .map((a) => {
      const isExtra = kind !== 'check-in' && a.tier === 'A' && a.stage !== 'resolved';
      return a.raisedAt + (isExtra ? calmHoursOfExtras : calmHours) * hourMs;
    });
  return Math.max(0, ...times);
}

/** While she is in the midst of a talk nothing else is begun; a question about food waits until nothing is being asked. */
function talkUntil({ kind }: RoutineDue, { dialog, dues }: LineState, { content }: World): number {
  const standing = content.dialogs.standing(dialog);
  if (dialog === null || standing.kind === 'quiet') return 0;
  const patience = ofDanger.has(standing.flow.flow) ? busyWithDangerMinutes : busyMinutes;
  const until = dialog.touchedAt + patience * minuteMs;
  const closes = kind === 'diet' ? dues.find((d) => d.kind === 'idle')?.at : undefined;
  return Math.max(until, closes ?? 0);
}
