import type { Programme } from '../../dialog/world.ts';
import type { AuditEntry, AuditLog } from '../../counsel/accounts.ts';
import type { Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';
import { nameOf } from './today-page.ts';

const shown = 200;

/** Who looked at whom and did what, the latest first. For the lead. */
export function auditPage(logs: readonly AuditLog[], { speech }: Reader, programme: Programme): Html {
  const { say } = speech;
  const all = logs.flatMap((log) => [...log.entries].reverse()).sort((a, b) => b.at - a.at);
  const broken = logs.filter((log) => !log.unbroken).length;
  const name = (id: string) => (id === 'nobody' ? say('audit.nobody') : nameOf(id, programme));
  return html`<h1>${say('place.audit')}</h1>
    <p class="note${broken > 0 ? ' bad' : ''}">${broken > 0 ? say('audit.broken', { count: broken }) : say('audit.unbroken', { count: all.length })}</p>
    <div class="card scroll" tabindex="0" role="region" aria-label="${say('place.audit')}"><table><thead><tr>${['when', 'who', 'did', 'what'].map((key) => html`<th scope="col">${say(`audit.${key}`)}</th>`)}</tr></thead><tbody>
    ${all.slice(0, shown).map((entry) => html`<tr><td>${speech.time(entry.at)}</td><td>${name(entry.by)}</td><td>${say(`audit.deed.${entry.action}`)}</td><td>${object(entry, speech)}</td></tr>`)}
    </tbody></table></div>${all.length > shown && html`<p class="soft">${say('audit.latest', { count: shown })}</p>`}`;
}

function object({ action, object: what = '' }: AuditEntry, { say }: Speech): Html {
  if (action === 'viewed' || (action === 'looked-for' && what !== 'nobody')) {
    const path = what.includes('/') ? what : `${what}/0`;
    return html`<a href="/desk/mother/${path}">${say('audit.mother', { id: what.slice(0, 6) })}</a>`;
  }
  return html`${/^\d{4}$/.test(what) && say('today.code', { code: what })}`;
}
