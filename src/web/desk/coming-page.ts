import type { ComingOnLine, ComingPage } from '../../counsel/read-coming-up.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { hourOnly, type Speech } from './speech.ts';
import { ageOf, type TodayParts } from './today-page.ts';

/** What the page can be narrowed to, in this order. */
export const comingKinds = ['check-in', 'weighing', 'talk', 'diet', 'tip', 'follow-up'] as const;
export type ComingKind = (typeof comingKinds)[number];

/** So many days are shown. */
export const comingDays = 7;
/** On a slow line more than this is no help. */
const shownRows = 120;

/** What the line will ask and tell in the coming days, by day; one kind alone when it is asked for. */
export function comingPage(
  { matters, after }: ComingPage,
  kind: ComingKind | undefined,
  { speech }: Reader,
  parts: TodayParts,
): Html {
  const { say } = speech;
  const known = matters.filter((one) => comingKinds.some((k) => k === one.kind));
  const shown = known.filter((one) => kind === undefined || one.kind === kind).slice(0, shownRows);
  const days = [...new Set(shown.map(({ at }) => parts.calendar.day(at)))];
  const of = (k: ComingKind) => known.filter((one) => one.kind === k).length;
  const link = (k: ComingKind | undefined, words: string) =>
    html`<a href="/desk/coming${k === undefined ? '' : `?kind=${k}`}"${k === kind && html` aria-current="true"`}>${words}</a>`;
  const all = kind === undefined ? known.length : of(kind);
  return html`<h1>${say('coming.title')}</h1>
    <p class="chips">${link(undefined, say('coming.all', { count: known.length }))}${comingKinds.map((k) => link(k, `${say(`coming.kind.${k}`)} ${of(k)}`))}</p>
    ${days.length === 0 ? html`<p class="card">${say('coming.none')}</p>` : ''}
    ${days.map((day) => {
      const ofDay = shown.filter(({ at }) => parts.calendar.day(at) === day);
      return html`<h2>${speech.dayOf(ofDay[0]?.at ?? parts.now)}</h2><ul class="card lines coming">${together(ofDay).map((group) => row(group, speech, parts))}</ul>`;
    })}
    ${all > shown.length && html`<p class="soft">${say('coming.first', { count: shown.length })}</p>`}
    ${after !== undefined && html`<p><a href="/desk/coming?from=${after}${kind === undefined ? '' : `&kind=${kind}`}">${say('coming.more')}</a></p>`}
    <p class="soft">${say('coming.how')}</p>`;
}

/** What comes to one mother in one message stands on one line: the weight is asked with the day's questions. */
function together(matters: readonly ComingOnLine[]): readonly (readonly ComingOnLine[])[] {
  const groups = new Map<string, ComingOnLine[]>();
  for (const one of matters) {
    const key = `${one.lineId} ${one.mother} ${one.at} ${one.kind === 'tip' || one.kind === 'follow-up' ? one.kind : ''}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()];
}

function row(group: readonly ComingOnLine[], speech: Speech, parts: TodayParts): Html {
  const [one] = group;
  if (one === undefined) return html``;
  const { at, lineId, state, mother: index, tip } = one;
  const mother = state.mothers[index];
  // A weighing by itself comes with that day's questions, whose hour is not fixed yet.
  const isLoose = group.every(({ kind }) => kind === 'weighing' || kind === 'talk');
  const name = mother === undefined ? speech.say('who.unknown') : speech.name(mother);
  const age = mother === undefined ? undefined : ageOf(mother, parts);
  const first = tip === undefined ? speech.say('tip.none') : speech.shared('tips', tip.tip.id);
  const what = group.map(({ kind }) => speech.one('next', kind)).join(' · ');
  return html`<li><span class="when">${isLoose ? '' : hourOnly(at, parts.calendar)}</span><span><a href="/desk/mother/${lineId}/${Math.max(0, index)}#next">${name}</a>${age !== undefined && html` <span class="soft">${speech.age(age)}</span>`}</span><span>${what}${one.kind === 'tip' && html`: <span class="soft">${first}</span>`}</span></li>`;
}
