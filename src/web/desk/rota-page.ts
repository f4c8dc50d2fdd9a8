import { dutyChanges, leadersOf, peopleOnDuty, rotaOf } from '../../counsel/rota.ts';
import type { Counsellor, World } from '../../dialog/world.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { spacedNumber, type Speech } from './speech.ts';

const aheadMs = 48 * 3_600_000;

/** Who is on duty now, who after that, and who is told when nobody is. */
export function rotaPage(
  { speech }: Reader,
  world: Pick<World, 'programme' | 'calendar' | 'away' | 'now'>,
): Html {
  const { say } = speech;
  const { now } = world;
  const rota = rotaOf(world);
  const onDuty = peopleOnDuty(rota, now);
  const leads = leadersOf(rota).filter((c) => c.lead);
  const changes = dutyChanges(rota, now, now + aheadMs).map((at) => ({ at, people: peopleOnDuty(rota, at) }));
  const away = rota.counsellors.filter((c) => (rota.away.get(c.id) ?? now) > now);
  return html`<h1>${say('place.rota')}</h1>
    ${onDuty.length === 0 ? html`<p class="note bad">${say('rota.nobody-now')}</p>` : html`<ol class="card lines">${onDuty.map((c, i) => row(c, say(i === 0 ? 'rota.first' : 'rota.then'), speech))}</ol>`}
    ${leads.length > 0 && html`<h2>${say('rota.leads')}</h2><ul class="card lines">${leads.map((c) => row(c, say(c.clinical === true ? 'rota.clinical' : 'rota.lead'), speech))}</ul>`}
    ${
      changes.length > 0 &&
      html`<h2>${say('rota.ahead')}</h2><ul class="card lines">${changes.map(
        ({ at, people }) =>
          html`<li><span>${say('rota.from', { time: speech.time(at) })}</span><span>${people.length === 0 ? html`<strong>${say('rota.nobody')}</strong>` : people.map((c) => c.name).join(', ')}</span></li>`,
      )}</ul>`
    }
    ${away.length > 0 && html`<h2>${say('rota.away')}</h2><ul class="card lines">${away.map((c) => html`<li><span>${c.name}</span><span>${say('rota.until', { time: speech.time(rota.away.get(c.id) ?? now) })}</span></li>`)}</ul>`}
    <p class="soft">${say('rota.how')}</p>`;
}

function row(counsellor: Counsellor, role: string, speech: Speech): Html {
  const languages = counsellor.languages ?? [counsellor.language];
  return html`<li><strong>${counsellor.name}</strong><span>${role}</span>
    <span>${languages.map((language) => speech.one('speaks', language)).join(', ')}${counsellor.area !== undefined && ` · ${typeof counsellor.area === 'string' ? counsellor.area : counsellor.area.join(', ')}`}</span>
    <a href="tel:${counsellor.phone}">${spacedNumber(counsellor.phone)}</a></li>`;
}
