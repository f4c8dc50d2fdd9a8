import { type Alert, type AlertStep, outcomes } from '../../dialog/line.ts';
import type { Programme } from '../../dialog/world.ts';
import { formToken, type Reader } from './frame.ts';
import { type Html, html } from './html.ts';
import { nameOf } from './today-page.ts';

/** Longest note, in characters. */
export const longestNote = 480;

/** One alert on a mother's page: what it is about, what was done, and what can be done. */
export function alertPart(alert: Alert, path: string, reader: Reader, programme: Programme): Html {
  const { speech } = reader;
  const { say } = speech;
  const open = alert.stage !== 'resolved';
  return html`<section class="card" aria-labelledby="h${alert.code}">
    <h2 id="h${alert.code}"><span class="mark ${alert.tier}">${say(`tier.${alert.tier}`)}</span> ${speech.reasons(alert)}</h2>
    <p class="soft">${say('today.code', { code: alert.code })} · ${open ? say('today.waits', { how: speech.since(alert.raisedAt) }) : say('alert.closed-as', { outcome: speech.outcome(alert.outcome ?? 'other') })}${!alert.confirmed && html` · ${say('alert.unconfirmed')}`}</p>
    ${alert.words !== '' && html`<p><q><bdi>${alert.words}</bdi></q></p>`}
    ${stepsList(alert, reader, programme)}
    ${open && acts(alert, path, reader, programme)}</section>`;
}

function stepsList({ steps }: Alert, { speech }: Reader, programme: Programme): Html {
  return html`<ol class="steps">${inRuns(steps).map(({ first, last, count }) => {
    const { by, what, note } = first;
    const name = by === 'line' || by === 'mother' ? '' : nameOf(by, programme);
    return html`<li><span class="soft">${speech.time(last.at)}</span> ${speech.one('step', what, { name })}${count > 1 && html` <span class="soft">(${speech.say('alert.times', { count })})</span>`}${note !== undefined && html`: <bdi>${note}</bdi>`}</li>`;
  })}</ol>`;
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

function acts(alert: Alert, path: string, reader: Reader, programme: Programme): Html {
  const { speech, proof, counsellor } = reader;
  const { say } = speech;
  const { code, acknowledgedBy } = alert;
  const fields = html`${formToken(proof)}<input type="hidden" name="code" value="${code}">`;
  return html`${
    acknowledgedBy === null
      ? html`<form method="post" action="${path}/take">${fields}<p><button class="main">${say('alert.take')}</button></p></form>`
      : html`<p><strong>${acknowledgedBy === counsellor.id ? say('alert.you-have-it') : say('alert.has-it', { name: nameOf(acknowledgedBy, programme) })}</strong></p>`
  }
    <form method="post" action="${path}/note" class="field">${formToken(proof)}<input type="hidden" name="code" value="${code}">
      <label for="n${code}">${say('alert.note')}</label>
      <textarea id="n${code}" name="note" rows="2" maxlength="${longestNote}" required></textarea>
      <button>${say('alert.keep-note')}</button></form>
    <details><summary id="c${code}">${say('alert.close')}</summary>
    <form method="post" action="${path}/close">${formToken(proof)}<input type="hidden" name="code" value="${code}">
      <div class="field"><label for="o${code}">${say('alert.outcome')}</label>
      <select id="o${code}" name="outcome" required><option value="">${say('alert.choose')}</option>${outcomes.map(
        (outcome) => html`<option value="${outcome}">${speech.outcome(outcome)}</option>`,
      )}</select></div>
      <div class="field"><label for="e${code}">${say('alert.closing-note')}</label>
      <textarea id="e${code}" name="note" rows="2" maxlength="${longestNote}"></textarea></div>
      <button class="main">${say('alert.close-now')}</button>
      <p class="soft">${say('alert.closing-means')}</p></form></details>`;
}
