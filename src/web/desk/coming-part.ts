import type { ComingUp } from '../../counsel/coming-up.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';
import { tipPart } from './tip-words.ts';

/** What comes up for one mother, soonest first; of a tip the words and why it is this one. */
export function comingPart(coming: readonly ComingUp[], index: number, speech: Speech): Html {
  const { say } = speech;
  const hers = coming.filter(({ mother }) => mother === index || mother === -1);
  return html`<section class="card" aria-labelledby="next"><h2 id="next">${say('next.title')}</h2>
    ${hers.length === 0 ? html`<p>${say('next.none')}</p>` : html`<ul class="plain dues">${hers.map((one) => html`<li><span class="when">${whenWords(one, speech)}</span><div>${speech.one('next', one.kind)}${one.tip !== undefined && tipPart(one.tip, speech)}${one.kind === 'tip' && one.tip === undefined && html` <span class="soft">${say('tip.none')}</span>`}</div></li>`)}</ul>`}</section>`;
}

/** The time; of what comes with a day's questions only the day. */
function whenWords({ kind, at }: ComingUp, speech: Speech): string {
  return kind === 'weighing' || kind === 'talk' ? speech.dayOf(at) : speech.time(at);
}
