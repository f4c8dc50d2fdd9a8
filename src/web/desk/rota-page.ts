import { rotaWeek } from '../../counsel/rota-week.ts';
import { leadersOf, peopleOnDuty, type Rota, rotaOf } from '../../counsel/rota.ts';
import type { Counsellor, World } from '../../dialog/world.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { hourOnly, spacedNumber, type Speech } from './speech.ts';

const daysShown = 7;

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
  const away = rota.counsellors.filter((c) => (rota.away.get(c.id) ?? now) > now);
  return html`<h1>${say('place.rota')}</h1>
    ${onDuty.length === 0 ? html`<p class="note bad">${say('rota.nobody-now')}</p>` : html`<ol class="card lines">${onDuty.map((c, i) => row(c, say(i === 0 ? 'rota.first' : 'rota.then'), speech))}</ol>`}
    ${leads.length > 0 && html`<h2>${say('rota.leads')}</h2><ul class="card lines">${leads.map((c) => row(c, say(c.clinical === true ? 'rota.clinical' : 'rota.lead'), speech))}</ul>`}
    ${rota.plan === undefined ? html`<p class="soft">${say('rota.always')}</p>` : weekPart(rota, now, speech)}
    ${away.length > 0 && html`<h2>${say('rota.away')}</h2><ul class="card lines">${away.map((c) => html`<li><span>${c.name}</span><span>${say('rota.until', { time: speech.time(rota.away.get(c.id) ?? now) })}</span></li>`)}</ul>`}
    <p class="soft">${say('rota.how')}</p>`;
}

/** The shifts of the coming week by day: who does them, swaps, holidays, and hours that nobody covers. */
function weekPart(rota: Rota, now: number, speech: Speech): Html {
  const { say } = speech;
  const { calendar } = rota;
  const nameOf = (id: string) => rota.counsellors.find((c) => c.id === id)?.name ?? id;
  const hours = (fromAt: number, toAt: number) => {
    const end = hourOnly(toAt, calendar);
    // Midnight at the end of a day is its 24th hour.
    return `${hourOnly(fromAt, calendar)}–${end === '00:00' ? '24:00' : end}`;
  };
  return html`<h2>${say('rota.week')}</h2>
    <table class="card week"><tbody>${rotaWeek(rota, now, daysShown).map(
      ({ day, shifts, gaps }) =>
        html`<tr><th scope="row" class="day">${speech.day(day)}</th><td>${[
          ...shifts.map((shift) => ({
            at: shift.fromAt,
            piece: html`<p class="shift${shift.away && ' off'}"><span class="when">${hours(shift.fromAt, shift.toAt)}</span> ${nameOf(shift.who)}${shift.insteadOf !== undefined && html` <span class="tag">${say('rota.instead', { name: nameOf(shift.insteadOf) })}</span>`}${shift.away && html` <span class="tag">${say('rota.holiday')}</span>`}</p>`,
          })),
          ...gaps.map(({ fromAt, untilAt, area }) => ({
            at: fromAt,
            piece: html`<p class="shift gap"><span class="when">${hours(fromAt, untilAt)}</span> ${area === undefined ? say('rota.gap') : say('rota.gap-in', { area })}</p>`,
          })),
        ]
          .sort((a, b) => a.at - b.at)
          .map(({ piece }) => piece)}</td></tr>`,
    )}</tbody></table>`;
}

function row(counsellor: Counsellor, role: string, speech: Speech): Html {
  const languages = counsellor.languages ?? [counsellor.language];
  return html`<li><strong>${counsellor.name}</strong><span>${role}</span>
    <span>${languages.map((language) => speech.one('speaks', language)).join(', ')}${counsellor.area !== undefined && ` · ${typeof counsellor.area === 'string' ? counsellor.area : counsellor.area.join(', ')}`}</span>
    <a href="tel:${counsellor.phone}">${spacedNumber(counsellor.phone)}</a></li>`;
}
