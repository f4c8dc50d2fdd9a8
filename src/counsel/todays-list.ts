import { ageInDays } from '../care/age.ts';
import type { Reason } from '../care/reason.ts';
import { type WhyAbove, whyAbove, type WorklistEntry, worklist } from '../care/worklist.ts';
import type { Alert, LineId, LineState } from '../dialog/line.ts';
import type { World } from '../dialog/world.ts';
import { alertValues, briefValues, signKey } from './alert-words.ts';

/** One open alert on the list of whom to reach first. */
export interface Listed {
  readonly lineId: LineId;
  readonly alert: Alert;
  readonly state: LineState;
  readonly entry: WorklistEntry;
}

/** Every open alert of the given lines, whom to reach first on top. */
export function todaysList(
  lines: readonly { readonly lineId: LineId; readonly state: LineState }[],
  world: World,
): readonly Listed[] {
  const listed = lines.flatMap(({ lineId, state }) =>
    state.alerts
      .filter((a) => a.stage !== 'resolved')
      .map((alert): Listed => ({ lineId, alert, state, entry: entryOf(state, alert, world) })),
  );
  const place = new Map(worklist(listed.map((l) => l.entry)).map((entry, i) => [entry.id, i]));
  return listed.sort((a, b) => (place.get(a.entry.id) ?? 0) - (place.get(b.entry.id) ?? 0));
}

function entryOf(state: LineState, alert: Alert, world: World): WorklistEntry {
  const today = world.calendar.day(world.now);
  const babies = state.mothers[alert.mother]?.babies ?? [];
  const ages = babies.map((b) => Math.max(0, ageInDays(b.bornOn, today)));
  const reason = (code: string): Reason => ({ code, tier: alert.tier, values: {}, source: 'told' });
  return {
    id: alert.code,
    tier: alert.tier,
    reasons: [...alert.signs.map((s) => reason(signKey(s))), ...alert.reasons.map(reason)],
    dangerTold: alert.signs.length > 0,
    ageDays: ages.length === 0 ? null : Math.min(...ages),
    waitingSinceAt: alert.raisedAt,
  };
}

/** Why one stands above the other, in a counsellor's language. Undefined when one of the codes is not on the list. */
export function whyAboveWords(
  list: readonly Listed[],
  one: string,
  other: string,
  world: World,
  language: string,
): string | undefined {
  const [a, b] = [one, other].map((code) => list.find((l) => l.alert.code === code));
  if (a === undefined || b === undefined) return undefined;
  const why: WhyAbove = whyAbove(a.entry, b.entry);
  return world.content.wording.say(
    `why.${why.rule}`,
    { above: why.above, below: why.below, ...figures(why, world) },
    language,
    'text',
  );
}

function figures({ rule, aboveHas, belowHas }: WhyAbove, world: World): Record<string, string | number> {
  if (rule !== 'waiting-longer') return { aboveHas: String(aboveHas), belowHas: String(belowHas) };
  const hours = (since: string | number | boolean) => Math.round((world.now - Number(since)) / 360_000) / 10;
  return { aboveHas: hours(aboveHas), belowHas: hours(belowHas) };
}

/** One line of a list that she did not ask for, where texts hold little: code and age. */
export function briefWords({ state, alert }: Listed, world: World, language: string): string {
  const key = `counsellor.brief-${alert.acknowledgedBy === null ? alert.tier : 'taken'}`;
  return world.content.wording.say(key, briefValues(state, alert, world, language), language, 'text');
}

/** One line of the list by text: code, who, what. */
export function listedWords({ state, alert }: Listed, world: World, language: string): string {
  const { wording } = world.content;
  const values = alertValues(state, { ...alert, words: '' }, world, language);
  const key = alert.acknowledgedBy === null ? `counsellor.listed-${alert.tier}` : `counsellor.listed-taken`;
  return wording.say(key, values, language, 'text');
}
