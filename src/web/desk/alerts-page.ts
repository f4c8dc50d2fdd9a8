import type { Listed } from '../../counsel/todays-list.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { motherPath, nameOf, type TodayParts, whoLine } from './today-page.ts';

/** Every open alert, one line each on a laptop: who has it, since when, and what was done last. */
export function alertsPage(list: readonly Listed[], { speech }: Reader, parts: TodayParts): Html {
  const { say } = speech;
  const row = (listed: Listed) => {
    const { alert } = listed;
    const last = alert.steps.at(-1);
    const holder = alert.acknowledgedBy;
    const who = (by: string) => (by === 'line' || by === 'mother' ? '' : nameOf(by, parts.programme));
    return html`<li><span><span class="mark ${alert.tier}">${say(`tier.${alert.tier}`)}</span></span>
      <span><a href="${motherPath(listed)}">${whoLine(listed, speech, parts)}</a> <span class="soft">${speech.reasons(alert)}</span></span>
      <span>${holder === null ? html`<strong>${say('alerts.nobody')}</strong>` : say('alert.has-it', { name: nameOf(holder, parts.programme) })}</span>
      <span>${last !== undefined && html`${speech.one('step', last.what, { name: who(last.by) })}, ${speech.time(last.at)}`}</span>
      <span class="soft">${say('alerts.since', { time: speech.time(alert.raisedAt) })} · <span class="group">${say('today.code', { code: alert.code })}</span></span></li>`;
  };
  return html`<h1>${say('place.alerts')}</h1>${
    list.length === 0
      ? html`<p class="card">${say('today.none')}</p>`
      : html`<ol class="card lines">${list.map(row)}</ol>`
  }`;
}
