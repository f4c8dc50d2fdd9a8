import { scaleBand, scaleLinear } from 'd3-scale';
import { ageInDays } from '../../care/age.ts';
import { feedsReason } from '../../care/feeding-amount.ts';
import { wetReason } from '../../care/feeding-nappies.ts';
import type { AnswerScalar, CheckIn, Mother } from '../../dialog/line.ts';
import { feedingAnswers } from '../../dialog/mother-assessed.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';

const shownDays = 14;
/** So many bars fit side by side. */
const shownBars = 9;
const [width, height] = [400, 140];

/** Feeds, wet nappies and stools of one baby by day, as she told them: bars, and the same as a table. */
export function daysPart(mother: Mother, index: number, speech: Speech): Html {
  const { say } = speech;
  const baby = mother.babies[index];
  const days = mother.checkIns.filter((c) => `feeds#${index}` in c.answers || `wet#${index}` in c.answers);
  const shown = days.slice(-shownDays);
  if (baby === undefined || shown.length === 0) return html`<p>${say('days.none')}</p>`;
  return html`${bars(shown.slice(-shownBars), index, mother, speech)}
    <div class="scroll" tabindex="0" role="group" aria-label="${say('days.title')}"><table><thead><tr>${['day', 'days.feeds', 'days.wet-short', 'days.stools', 'days.gap', 'days.pain'].map((key) => html`<th>${say(key)}</th>`)}</tr></thead>
    <tbody>${shown
      .map((checkIn) => {
        const { answers, day } = checkIn;
        const few = fewOn(mother, index, checkIn);
        const pain = answers['pain'];
        return html`<tr><td class="day">${speech.day(day)}</td>
          ${figure(answers[`feeds#${index}`], few.feeds, speech)}${figure(answers[`wet#${index}`], few.wet, speech)}
          ${figure(answers[`stools#${index}`], false, speech)}${figure(answers[`gap#${index}`], false, speech)}
          <td>${typeof pain === 'number' ? say(`days.pain-${pain}`) : say('days.not-told')}</td></tr>`;
      })
      .reverse()}</tbody></table></div>`;
}

function figure(value: AnswerScalar | undefined, few: boolean, { say }: Speech): Html {
  const text = value === null || value === undefined ? say('days.not-told') : String(value);
  return html`<td${few && html` class="few"`}>${text}${few && html` <span class="soft">${say('days.few')}</span>`}</td>`;
}

/** Whether the care rules find the count of that day too few for the age on that day. */
function fewOn(mother: Mother, index: number, { answers, day }: CheckIn) {
  const baby = mother.babies[index];
  if (baby === undefined) return { feeds: false, wet: false };
  const told = feedingAnswers(baby, index, answers, day);
  return { feeds: feedsReason(told) !== undefined, wet: wetReason(told) !== undefined };
}

function bars(days: readonly CheckIn[], index: number, mother: Mother, speech: Speech): Html {
  const { say } = speech;
  const kinds = ['feeds', 'wet'] as const;
  const count = (c: CheckIn, kind: string) => {
    const value = c.answers[`${kind}#${index}`];
    return typeof value === 'number' ? value : typeof value === 'string' ? Number.parseFloat(value) || 0 : 0;
  };
  const most = Math.max(8, ...days.flatMap((c) => kinds.map((kind) => count(c, kind))));
  const y = scaleLinear([0, most], [height - 22, 36]);
  const born = mother.babies[index]?.bornOn;
  return html`<svg viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="d${index}"><title id="d${index}">${say('days.chart')}</title>
    ${kinds.map((kind, k) => {
      const left = k * (width / 2) + 4;
      const x = scaleBand(
        days.map((c) => c.day),
        [left, left + width / 2 - 16],
      ).padding(0.25);
      return html`<text x="${left}" y="12">${say(`days.${kind}`)}</text><line class="axis" x1="${left}" x2="${left + width / 2 - 16}" y1="${height - 22}" y2="${height - 22}"/>
      ${days.map((c) => {
        const value = count(c, kind);
        const few = fewOn(mother, index, c)[kind];
        const [at, wide] = [x(c.day) ?? 0, Math.min(28, x.bandwidth())];
        const middle = Math.round(at + x.bandwidth() / 2);
        return html`<rect class="bar${few && ' short'}" x="${Math.round(middle - wide / 2)}" y="${Math.round(y(value))}" width="${Math.round(wide)}" height="${Math.round(y(0) - y(value))}"/>
        <text x="${middle}" y="${Math.round(y(value)) - 3}" text-anchor="middle">${shownCount(c.answers[`${kind}#${index}`])}</text>
        <text x="${middle}" y="${height - 8}" text-anchor="middle">${born === undefined ? '' : ageInDays(born, c.day)}</text>`;
      })}`;
    })}</svg><p class="soft">${say('days.axis')}</p>`;
}

function shownCount(value: AnswerScalar | undefined): string {
  return value === null || value === undefined ? '?' : String(value);
}
