import { ageInDays } from '../../care/age.ts';
import { areaOf, areasKnown } from '../../counsel/area.ts';
import type { ComingUp } from '../../counsel/coming-up.ts';
import { babyAssessed } from '../../dialog/mother-assessed.ts';
import { zoneOf } from '../../dialog/zone.ts';
import { isPaused } from '../../dialog/pause.ts';
import type { LineId, LineState, Mother } from '../../dialog/line.ts';
import type { Programme } from '../../dialog/world.ts';
import { alertPart } from './alert-part.ts';
import { comingPart } from './coming-part.ts';
import type { Conversation, Said } from './conversation.ts';
import { daysPart } from './days-part.ts';
import { foodPart } from './food-part.ts';
import { formToken, type Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { spacedNumber, type Speech } from './speech.ts';
import { birthPart } from './birth-part.ts';
import { reasonWords } from './reason-words.ts';
import { rhythmPart } from './rhythm-part.ts';
import type { TodayParts } from './today-page.ts';
import { weightsPart } from './weights-part.ts';

/** What a mother's page is written from. */
export interface MotherView {
  readonly lineId: LineId;
  /** Place among the mothers of the phone; 0 also for a number that is not enrolled. */
  readonly index: number;
  readonly version: number;
  readonly state: LineState;
  readonly conversation: Conversation;
  readonly coming: readonly ComingUp[];
}

/** What was just done, told on top of the page. */
export const doneNotices = [
  'took',
  'has-it',
  'noted',
  'closed',
  'opened-again',
  'handed-over',
  'sent',
  'not-sent',
  'no-alert',
  'placed',
  'rhythm',
  'birth',
] as const;
export type DoneNotice = (typeof doneNotices)[number];

/** All that a counsellor needs while she speaks with a mother. */
export function motherPage(
  view: MotherView,
  reader: Reader,
  parts: TodayParts,
  done: DoneNotice | undefined,
): { readonly title: string; readonly content: Html } {
  const { speech } = reader;
  const { say } = speech;
  const { state, index, lineId } = view;
  const mother = state.mothers[index];
  const path = `/desk/mother/${lineId}/${index}`;
  // Alerts of nobody in particular are shown with each who shares the phone: better seen twice than not at all.
  const alerts = state.alerts.filter((a) => a.mother === index || state.mothers[a.mother] === undefined);
  const open = alerts.filter((a) => a.stage !== 'resolved');
  const closed = alerts.filter((a) => a.stage === 'resolved');
  const name = mother === undefined ? say('who.unknown') : speech.name(mother);
  const setting = {
    programme: parts.programme,
    standing: state.standing,
    area: areaOf(state, parts.programme),
  };
  const content = html`
    ${done !== undefined && html`<p class="note${['has-it', 'not-sent', 'no-alert'].includes(done) ? ' bad' : ''}" role="alert">${say(`done.${done}`)}</p>`}
    <div data-live="/desk/live/${lineId}?version=${view.version}"><p class="note" id="news" role="status" hidden><a href="${path}">${say('mother.news')}</a></p></div>
    ${whoPart(view, mother, name, speech, parts)}
    ${areaPart(state, path, reader, parts)}
    ${mother !== undefined && state.standing === 'enrolled' && rhythmPart(mother, { rests: isPaused(mother, parts.calendar.day(parts.now)), noTips: state.noTips === true, zone: zoneOf(state, state.phone, parts.programme) }, path, reader)}
    ${mother !== undefined && state.standing === 'enrolled' && birthPart(mother, path, reader)}
    ${mother !== undefined && jumps(speech)}
    <div class="two"><div>
      ${open.map((alert) => alertPart(alert, path, reader, setting))}
      ${open.length === 0 && html`<p class="card">${say('mother.no-alert')}</p>`}
      ${closed.length > 0 && html`<details class="card"><summary>${say('mother.closed', { count: closed.length })}</summary>${closed.map((alert) => alertPart(alert, path, reader, setting)).reverse()}</details>`}
    </div><div class="facts">
      ${mother !== undefined && babyParts(mother, speech, parts)}
      ${mother !== undefined && html`<section class="card" aria-labelledby="food"><h2 id="food">${say('food.title')}</h2>${foodPart(mother, speech)}</section>`}
      ${comingPart(view.coming, index, speech)}
    </div>${talkPart(view, path, speech)}</div>`;
  return { title: name, content };
}

function whoPart(
  { state, index, lineId }: MotherView,
  mother: Mother | undefined,
  name: string,
  speech: Speech,
  { calendar, now, programme }: TodayParts,
): Html {
  const { say } = speech;
  const today = calendar.day(now);
  const others = state.mothers.map((other, i) => ({ other, i })).filter(({ i }) => i !== index);
  return html`<h1>${name}</h1>
    <p><a href="tel:${state.phone}">${spacedNumber(state.phone)}</a> · ${say('mother.speaks', { language: speech.one('speaks', state.language) })}
    ${mother !== undefined && html` · ${say(`eats.${mother.eats}`)}`}
    ${state.standing !== 'enrolled' && html` · <strong>${say(`standing.${state.standing}`)}</strong>`}</p>
    ${mother !== undefined && html`<ul class="plain">${mother.babies.map((baby) => html`<li>${baby.name ?? say('baby.unnamed')}, ${say(`baby.${baby.sex ?? 'unknown'}`)}, ${speech.age(ageInDays(baby.bornOn, today))}, ${say('baby.born', { day: speech.day(baby.bornOn) })}${baby.birthWeightGrams !== null && html`, ${say('baby.birth-weight', { kilos: (baby.birthWeightGrams / 1000).toFixed(2) })}`}${baby.gestationWeeks !== null && html`, ${say('baby.weeks', { count: baby.gestationWeeks })}`}</li>`)}</ul>`}
    ${rhythmLine(state, mother, today, speech, programme)}
    ${mother !== undefined && mother.missed > 0 && html`<p>${say('mother.missed', { count: mother.missed })}</p>`}
    ${others.length > 0 && html`<p>${say('mother.shared')} ${others.map(({ other, i }) => html`<a href="/desk/mother/${lineId}/${i}">${speech.name(other)}</a> `)}</p>`}
`;
}

/** On a phone the page is long: what is most looked for is one touch away. */
function jumps({ say }: Speech): Html {
  const parts = [
    ['talk', 'talk.title'],
    ['f0', 'days.title'],
    ['g0', 'weight.title'],
    ['food', 'food.title'],
    ['next', 'next.title'],
  ] as const;
  return html`<nav class="chips jumps" aria-label="${say('mother.parts')}">${parts.map(([id, key]) => html`<a href="#${id}">${say(key)}</a>`)}</nav>`;
}

/** Where she lives, for programmes that have areas; a lead can change it. */
function areaPart(
  state: LineState,
  path: string,
  { speech, counsellor, proof }: Reader,
  { programme }: TodayParts,
) {
  const { say } = speech;
  const areas = areasKnown(programme);
  if (areas.length === 0) return undefined;
  const area = areaOf(state, programme);
  const words = html`<p>${area === undefined ? say('area.none') : say('area.in', { area })}</p>`;
  if (!counsellor.lead) return words;
  const unset =
    programme.area === undefined ? say('area.unset') : say('area.usual', { area: programme.area });
  return html`${words}<details><summary>${say('area.change')}</summary><form method="post" action="${path}/place" class="field">${formToken(proof)}
      <label for="area">${say('area.label')}</label>
      <p class="acts"><select id="area" name="area"><option value="">${unset}</option>${areas.map((one) => html`<option${one === state.area && html` selected`}>${one}</option>`)}</select>
      <button>${say('area.keep')}</button></p></form></details>`;
}

function talkPart({ conversation }: MotherView, path: string, speech: Speech): Html {
  const { say } = speech;
  const { latest, count } = conversation;
  return html`<section class="card" aria-labelledby="talk"><h2 id="talk">${say('talk.title')}</h2>
    ${count > latest.length && html`<p><a href="${path}?all=yes#talk">${say('talk.earlier', { count: count - latest.length })}</a></p>`}
    ${latest.length === 0 ? html`<p>${say('talk.none')}</p>` : html`<ol class="talk">${latest.map((said) => html`<li class="${said.who}"><bdi>${words(said, speech)}</bdi><span class="soft">${say(`talk.${said.who}`)} · ${speech.time(said.at)}</span></li>`)}</ol>`}</section>`;
}

function words({ how, words: text, who }: Said, { say }: Speech): string {
  if (how === 'keys') return text === '' ? say('talk.no-key') : say('talk.keys', { keys: text });
  if (how === 'ring') return say('talk.rang');
  return how === 'call' && who === 'line' ? say('talk.by-call', { words: text }) : text;
}

function babyParts(mother: Mother, speech: Speech, { calendar, now }: TodayParts): Html {
  const { say } = speech;
  const today = calendar.day(now);
  const several = mother.babies.length > 1;
  return html`${mother.babies.map((baby, i) => {
    const suffix = several ? `: ${baby.name ?? say(`baby.nth-${i + 1}`)}` : '';
    return html`<section class="card" aria-labelledby="f${i}"><h2 id="f${i}">${say('days.title')}${suffix}</h2>
      ${standsOut(mother, i, today, speech)}${daysPart(mother, i, speech)}</section>
      <section class="card" aria-labelledby="g${i}"><h2 id="g${i}">${say('weight.title')}${suffix}</h2>${weightsPart(baby, i, today, speech)}</section>`;
  })}`;
}

/** What the care rules say of today's answers and of all weights, with its figures. */
function standsOut(mother: Mother, index: number, today: string, speech: Speech): Html | undefined {
  const reasons = babyAssessed(mother, index, today)?.reasons ?? [];
  return reasons.length === 0
    ? undefined
    : html`<ul>${reasons.map((reason) => html`<li>${reasonWords(reason, speech)}</li>`)}</ul>`;
}

/** How she is written to, where it is not as usual: she rests, wants no tips, is asked by call, cannot be reached. */
function rhythmLine(
  state: LineState,
  mother: Mother | undefined,
  today: string,
  speech: Speech,
  programme: Programme,
): Html | undefined {
  const { say } = speech;
  const zone = zoneOf(state, state.phone, programme);
  const untilDay = mother?.paused?.untilDay ?? null;
  const rests =
    mother === undefined || !isPaused(mother, today)
      ? undefined
      : untilDay === null
        ? say('rhythm.rests')
        : say('rhythm.rests-until', { day: speech.day(untilDay) });
  const told = [
    zone === programme.timeZone ? undefined : say('rhythm.zoned', { zone }),
    mother?.leftInPeace === true ? say('rhythm.left-in-peace') : undefined,
    rests,
    state.noTips === true ? say('rhythm.no-tips') : undefined,
    mother?.askedBy === 'call' ? say('rhythm.called') : undefined,
    state.number === undefined || state.number === null ? undefined : say(`number.${state.number.trouble}`),
  ].filter((words) => words !== undefined);
  return told.length === 0
    ? undefined
    : html`<p class="group-of">${told.map((words) => html`<span class="tag">${words}</span> `)}</p>`;
}
