import type { Listed } from '../../counsel/todays-list.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { motherPath, nameOf, type TodayParts, whoLine } from './today-page.ts';

/** Every open alert in one table: who has it, since when, and what was done last. */
export function alertsPage(list: readonly Listed[], { speech }: Reader, parts: TodayParts): Html {
  const { say } = speech;
  const rows = list.map((listed) => {
    const { alert } = listed;
    const last = alert.steps.at(-1);
    const holder = alert.acknowledgedBy;
    return html`<tr><td><span class="mark ${alert.tier}">${say(`tier.${alert.tier}`)}</span></td>
      <td><a href="${motherPath(listed)}">${whoLine(listed, speech, parts)}</a><br><span class="soft">${speech.reasons(alert)}</span></td>
      <td>${speech.time(alert.raisedAt)}</td>
      <td>${holder === null ? say('alerts.nobody') : nameOf(holder, parts.programme)}</td>
      <td>${last !== undefined && html`${speech.one('step', last.what, { name: last.by === 'line' || last.by === 'mother' ? '' : nameOf(last.by, parts.programme) })} <span class="soft">${speech.time(last.at)}</span>`}</td>
      <td>${alert.code}</td></tr>`;
  });
  return html`<h1>${say('place.alerts')}</h1>${
    list.length === 0
      ? html`<p class="card">${say('today.none')}</p>`
      : html`<div class="card scroll" tabindex="0" role="region" aria-label="${say('place.alerts')}"><table><thead><tr>${['how-urgent', 'who', 'since', 'holder', 'last', 'code'].map((key) => html`<th scope="col">${say(`alerts.${key}`)}</th>`)}</tr></thead><tbody>${rows}</tbody></table></div>`
  }`;
}
