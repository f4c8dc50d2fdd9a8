import { createHash } from 'node:crypto';
import { ageInDays } from '../../care/age.ts';
import { type PlaceRule, whyAbove } from '../../care/worklist.ts';
import type { Listed } from '../../counsel/todays-list.ts';
import { areaOf, areasKnown, areasOf } from '../../counsel/area.ts';
import type { LineState, Mother } from '../../dialog/line.ts';
import type { Programme } from '../../dialog/world.ts';
import type { Calendar } from '../../language/calendar.ts';
import { formToken, type Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { maskedNumber, type Speech } from './speech.ts';

export interface TodayParts {
  readonly programme: Programme;
  readonly calendar: Calendar;
  readonly now: number;
}

/** Whom to reach first, with why. */
export function todayPage(list: readonly Listed[], reader: Reader, parts: TodayParts): Html {
  const { say } = reader.speech;
  return html`<h1>${say('today.title')}</h1>
    <div data-live="/desk/live?mark=${markOf(list)}">${todayList(list, reader, parts)}</div>`;
}

/** Changes when the list does, but not as time goes by. */
export function markOf(list: readonly Listed[]): string {
  const entries = list.map(({ alert }) => [alert.code, alert.tier, alert.acknowledgedBy, alert.steps.length]);
  return createHash('sha256').update(JSON.stringify(entries)).digest('base64url').slice(0, 12);
}

/** The part that is renewed by itself. */
export function todayList(list: readonly Listed[], reader: Reader, parts: TodayParts): Html {
  const { say } = reader.speech;
  if (list.length === 0) return html`<p class="card">${say('today.none')}</p>`;
  const free = list.filter((l) => l.alert.acknowledgedBy === null).length;
  const mine = list.filter((l) => l.alert.acknowledgedBy === reader.counsellor.id).length;
  return html`<p role="status">${say('today.count', { count: free })} ${mine > 0 && say('today.mine', { count: mine })}</p>
    <ol class="people">${list.map((listed, i) => row(listed, list[i + 1], reader, parts))}</ol>`;
}

function row(listed: Listed, below: Listed | undefined, reader: Reader, parts: TodayParts): Html {
  const { alert, state } = listed;
  const { speech, proof } = reader;
  const { say } = speech;
  const path = motherPath(listed);
  const id = `a${alert.code}`;
  return html`<li class="${alert.tier}">
    <p class="soft"><span class="mark ${alert.tier}">${say(`tier.${alert.tier}`)}</span> ${say('today.waits', { how: speech.since(alert.raisedAt) })} · <span class="group">${say('today.code', { code: alert.code })}</span> · <span class="group">${say('today.number', { number: maskedNumber(state.phone) })}</span>${areaTag(state, reader, parts)}</p>
    <h2><a id="${id}" href="${path}">${whoLine(listed, speech, parts)}</a></h2>
    <p class="why">${speech.reasons(alert)}${!alert.confirmed && html` <span class="soft">(${say('alert.unconfirmed')})</span>`}</p>
    ${alert.words !== '' && html`<p><q><bdi>${shortened(alert.words)}</bdi></q></p>`}
    <div class="acts">${holder(listed, reader, parts, path, proof)}</div>
    ${below !== undefined && html`<details id="w${alert.code}"><summary>${say('today.why', { name: speech.name(below.state.mothers[below.alert.mother]) })}</summary><p>${whyWords(listed, below, speech)}</p></details>`}
  </li>`;
}

/** Where she lives, for who sees more than one area. */
function areaTag(state: LineState, { counsellor }: Reader, { programme }: TodayParts): Html | undefined {
  const areas = areasOf(counsellor) ?? areasKnown(programme);
  const area = areaOf(state, programme);
  return areas.length < 2 || area === undefined ? undefined : html` · <span class="group">${area}</span>`;
}

function holder({ alert }: Listed, reader: Reader, parts: TodayParts, path: string, proof: string): Html {
  const { say } = reader.speech;
  if (alert.acknowledgedBy === reader.counsellor.id)
    return html`<strong>${say('alert.you-have-it')}</strong>`;
  if (alert.acknowledgedBy !== null)
    return html`<span>${say('alert.has-it', { name: nameOf(alert.acknowledgedBy, parts.programme) })}</span>`;
  const offered = alert.offeredTo ?? null;
  return html`${offered !== null && html`<span>${offered === reader.counsellor.id ? say('alert.offered-to-you') : say('alert.offered', { name: nameOf(offered, parts.programme) })}</span>`}<form method="post" action="${path}/take">${formToken(proof)}<input type="hidden" name="code" value="${alert.code}"><button class="main" id="t${alert.code}">${say('alert.take')}</button></form>`;
}

/** "Asha, baby 8 days", or what is known of a number that is not enrolled. */
export function whoLine({ state, alert }: Listed, speech: Speech, { calendar, now }: TodayParts): string {
  const mother = state.mothers[alert.mother];
  const baby = mother?.babies[0];
  if (mother === undefined || baby === undefined)
    return speech.say(state.mothers.length > 1 ? 'who.shared' : 'who.unknown');
  const age = speech.age(ageInDays(baby.bornOn, calendar.day(now)));
  return speech.say('who.with-baby', { name: speech.name(mother), age });
}

/** Age in days of her youngest baby; undefined when she has none on the line. */
export function ageOf(mother: Mother, { calendar, now }: TodayParts): number | undefined {
  const ages = mother.babies.map(({ bornOn }) => Math.max(0, ageInDays(bornOn, calendar.day(now))));
  return ages.length === 0 ? undefined : Math.min(...ages);
}

export function motherPath({ lineId, alert, state }: Listed): string {
  return `/desk/mother/${lineId}/${state.mothers[alert.mother] === undefined ? 0 : alert.mother}`;
}

/** A counsellor's name, also of one who has left; her id when no name is known. */
export function nameOf(id: string, programme: Programme): string {
  return programme.counsellors.find((c) => c.id === id)?.name ?? programme.formerly?.get(id) ?? id;
}

function whyWords(one: Listed, other: Listed, speech: Speech): string {
  const { rule, aboveHas, belowHas } = whyAbove(one.entry, other.entry);
  const figure = (value: string | number | boolean): string => {
    if (rule === 'tier') return speech.say(`tier.${String(value)}`);
    if (rule === 'waiting-longer') return speech.since(Number(value));
    return value === 'not known' ? speech.say('why.not-known') : String(value);
  };
  return speech.say(`why.${rule satisfies PlaceRule}`, { above: figure(aboveHas), below: figure(belowHas) });
}

/** Her words on a list, in at most 140 characters. */
function shortened(words: string): string {
  const letters = [...words.replace(/\s+/g, ' ').trim()];
  return letters.length > 140 ? `${letters.slice(0, 139).join('')}…` : letters.join('');
}
