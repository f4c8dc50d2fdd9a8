import { areasOf, worksIn } from '../../counsel/area.ts';
import { type Alert, type AlertStep, type LineState, outcomes } from '../../dialog/line.ts';
import type { Programme } from '../../dialog/world.ts';
import { formToken, type Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';
import { nameOf } from './today-page.ts';

/** Longest note, in characters. */
export const longestNote = 480;
/** Longest message to a mother, in characters: what the line can send in two texts. */
export const longestMessage = 280;

/** What an alert on a page needs to know beside itself. */
export interface AlertSetting {
  readonly programme: Programme;
  readonly standing: LineState['standing'];
  /** Where she lives: only a lead hands her to a counsellor of another area. */
  readonly area: string | undefined;
}

/** One alert on a mother's page: what it is about, what was done, and what can be done. */
export function alertPart(alert: Alert, path: string, reader: Reader, setting: AlertSetting): Html {
  const { speech } = reader;
  const { programme } = setting;
  const { say } = speech;
  const open = alert.stage !== 'resolved';
  return html`<section class="card" aria-labelledby="h${alert.code}">
    <h2 id="h${alert.code}"><span class="mark ${alert.tier}">${say(`tier.${alert.tier}`)}</span> ${speech.reasons(alert)}</h2>
    <p class="soft">${say('today.code', { code: alert.code })} · ${open ? say('today.waits', { how: speech.since(alert.raisedAt) }) : say('alert.closed-as', { outcome: speech.outcome(alert.outcome ?? 'other') })}${!alert.confirmed && html` · ${say('alert.unconfirmed')}`}</p>
    ${alert.words !== '' && html`<p><q><bdi>${alert.words}</bdi></q></p>`}
    ${stepsList(alert, reader, programme)}
    ${open ? acts(alert, path, reader, setting) : form(alert, `${path}/open`, reader, html`<button>${say('alert.open-again')}</button>`)}</section>`;
}

function stepsList({ steps }: Alert, { speech }: Reader, programme: Programme): Html {
  return html`<ol class="steps">${inRuns(steps).map(({ first, last, count }) => {
    const { by, what, note } = first;
    const name = by === 'line' || by === 'mother' ? '' : nameOf(by, programme);
    return html`<li><span class="soft">${speech.time(last.at)}</span> ${speech.one('step', what, { name })}${count > 1 && html` <span class="soft">(${speech.say('alert.times', { count })})</span>`}${note !== undefined && html`: <bdi>${noteWords(first, speech, programme)}</bdi>`}</li>`;
  })}</ol>`;
}

/** What stands behind a step: a name, her answer, or a counsellor's own words. */
function noteWords({ what, note = '' }: AlertStep, { say }: Speech, programme: Programme): string {
  if (what === 'handed-over') return nameOf(note, programme);
  return what === 'followed-up' ? say(note === 'better' ? 'followed.better' : 'followed.reached-care') : note;
}

/** The same step again and again, as when she tells of it each day, is one line. Notes always stand alone. */
function inRuns(steps: readonly AlertStep[]) {
  const runs: { first: AlertStep; last: AlertStep; count: number }[] = [];
  for (const step of steps) {
    const run = runs.at(-1);
    if (
      run !== undefined &&
      run.first.what === step.what &&
      run.first.by === step.by &&
      step.note === undefined &&
      run.first.note === undefined
    )
      [run.last, run.count] = [step, run.count + 1];
    else runs.push({ first: step, last: step, count: 1 });
  }
  return runs;
}

function acts(alert: Alert, path: string, reader: Reader, { programme, standing, area }: AlertSetting): Html {
  const { speech, counsellor } = reader;
  const { say } = speech;
  const { code } = alert;
  const others = programme.counsellors.filter(
    (c) => c.id !== counsellor.id && c.id !== alert.acknowledgedBy && (counsellor.lead || worksIn(c, area)),
  );
  return html`${holding(alert, path, reader, programme)}
    ${form(
      alert,
      `${path}/note`,
      reader,
      html`
      <label for="n${code}">${say('alert.note')}</label>
      <textarea id="n${code}" name="note" rows="2" maxlength="${longestNote}" required></textarea>
      <button>${say('alert.keep-note')}</button>`,
    )}
    ${
      standing !== 'stopped' &&
      html`<details><summary>${say('alert.write')}</summary>
      ${form(
        alert,
        `${path}/write`,
        reader,
        html`
      <label for="s${code}">${say('alert.message')}</label>
      <textarea id="s${code}" name="words" rows="3" maxlength="${longestMessage}" required></textarea>
      <button>${say('alert.send')}</button>`,
      )}</details>`
    }
    ${
      others.length > 0 &&
      html`<details><summary>${say('alert.hand-over')}</summary>
      ${form(
        alert,
        `${path}/hand-over`,
        reader,
        html`
      <label for="h-${code}">${say('alert.to-whom')}</label>
      <p class="acts"><select id="h-${code}" name="to" required><option value="">${say('alert.choose')}</option>${others.map((c) => html`<option value="${c.id}">${c.name}${!worksIn(c, area) && ` (${(areasOf(c) ?? []).join(', ')})`}</option>`)}</select>
      <button>${say('alert.hand-over-now')}</button></p>`,
      )}</details>`
    }
    <details><summary>${say('alert.close')}</summary>
      ${form(
        alert,
        `${path}/close`,
        reader,
        html`
      <div class="field"><label for="o${code}">${say('alert.outcome')}</label>
      <select id="o${code}" name="outcome" required><option value="">${say('alert.choose')}</option>${outcomes.map(
        (outcome) => html`<option value="${outcome}">${speech.outcome(outcome)}</option>`,
      )}</select></div>
      <div class="field"><label for="e${code}">${say('alert.closing-note')}</label>
      <textarea id="e${code}" name="note" rows="2" maxlength="${longestNote}"></textarea></div>
      <button class="main">${say('alert.close-now')}</button>
      <p class="soft">${say('alert.closing-means')}</p>`,
      )}</details>`;
}

/** Who has her; for who has not, the way to take her. */
function holding(alert: Alert, path: string, reader: Reader, programme: Programme): Html {
  const { counsellor, speech } = reader;
  const { say } = speech;
  const holder = alert.acknowledgedBy;
  if (holder !== null) {
    const words =
      holder === counsellor.id
        ? say('alert.you-have-it')
        : say('alert.has-it', { name: nameOf(holder, programme) });
    return html`<p><strong>${words}</strong></p>`;
  }
  const offered = alert.offeredTo ?? counsellor.id;
  return html`${alert.offeredTo === counsellor.id && html`<p><strong>${say('alert.offered-to-you')}</strong></p>`}
    ${offered !== counsellor.id && html`<p>${say('alert.offered', { name: nameOf(offered, programme) })}</p>`}
    ${form(alert, `${path}/take`, reader, html`<button class="main">${say('alert.take')}</button>`)}`;
}

function form({ code }: Alert, action: string, { proof }: Reader, content: Html): Html {
  return html`<form method="post" action="${action}" class="field">${formToken(proof)}<input type="hidden" name="code" value="${code}">${content}</form>`;
}
