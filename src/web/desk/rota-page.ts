import type { Programme } from '../../dialog/world.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { spacedNumber } from './speech.ts';

/** Who is told of a new alert, and who after her. */
export function rotaPage({ speech }: Reader, { counsellors }: Programme): Html {
  const { say } = speech;
  const order = [...counsellors.filter((c) => !c.lead), ...counsellors.filter((c) => c.lead)];
  return html`<h1>${say('place.rota')}</h1>
    <p>${say('rota.how')}</p>
    <ol class="card lines">${order.map(
      (counsellor, i) => html`<li><strong>${counsellor.name}</strong>
      <span>${say(i === 0 ? 'rota.first' : 'rota.then')}${counsellor.lead && html` · ${say('rota.lead')}`} · ${speech.one('speaks', counsellor.language)}</span>
      <a href="tel:${counsellor.phone}">${spacedNumber(counsellor.phone)}</a></li>`,
    )}</ol>`;
}
