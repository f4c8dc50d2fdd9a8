import { ageInDays, correctedAgeDays } from '../../care/age.ts';
import { weightForAgeZ } from '../../care/weight-for-age.ts';
import type { Baby } from '../../dialog/line.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';
import { type ChartWeight, weightChart } from './weight-chart.ts';

interface Row extends ChartWeight {
  readonly day: string;
  readonly where: 'clinic' | 'home' | 'other' | 'birth' | null;
}

/** Weight of one baby: the curves, and the same as a table. */
export function weightsPart(baby: Baby, index: number, today: string, speech: Speech): Html {
  const { say } = speech;
  const rows = rowsOf(baby);
  if (rows.length === 0) return html`<p>${say('weight.none')}</p>`;
  const age = correctedAgeDays(Math.max(0, ageInDays(baby.bornOn, today)), baby.gestationWeeks);
  const early = baby.gestationWeeks !== null && baby.gestationWeeks < 37;
  return html`${weightChart(rows, baby.sex, age, speech, `w${index}`)}
    ${baby.sex === null && html`<p class="soft">${say('weight.no-sex')}</p>`}
    ${early && html`<p class="soft">${say('weight.corrected', { count: baby.gestationWeeks ?? 0 })}</p>`}
    ${rows.some((r) => r.doubtful) && html`<p class="soft">${say('weight.doubtful')}</p>`}
    <div class="scroll" tabindex="0" role="group" aria-label="${say('weight.title')}"><table><thead><tr><th>${say('day')}</th><th>${say('weight.age')}</th><th>${say('weight.weight')}</th><th>${say('weight.change')}</th><th>${say('weight.z')}</th></tr></thead>
    <tbody>${rows.map((row, i) => tableRow(row, rows, i, baby, speech)).reverse()}</tbody></table></div>
    <p class="soft">${say('weight.source')}</p>`;
}

function tableRow(row: Row, rows: readonly Row[], index: number, baby: Baby, speech: Speech): Html {
  const { say } = speech;
  const before = rows.slice(0, index).findLast((r) => !r.doubtful);
  const days = before === undefined ? 0 : ageInDays(before.day, row.day);
  const perDay =
    before === undefined || row.doubtful || days <= 0
      ? undefined
      : Math.round((row.grams - before.grams) / days);
  const z = baby.sex === null || row.doubtful ? undefined : weightForAgeZ(baby.sex, row.ageDays, row.grams);
  const age = ageInDays(baby.bornOn, row.day);
  return html`<tr><td class="day">${speech.day(row.day)}</td><td>${speech.age(age)}</td>
    <td>${(row.grams / 1000).toFixed(2)} kg${row.where !== null && row.where !== 'other' && html` <span class="soft">${say(`weight.at.${row.where}`)}</span>`}${row.doubtful && html` <span class="soft">${say('weight.unsure')}</span>`}</td>
    <td>${perDay !== undefined && say('weight.per-day', { grams: signed(perDay, 0) })}</td>
    <td>${z !== undefined && signed(z, 1)}</td></tr>`;
}

/** Birth first, then by day. A weight told for the day of birth is the birth weight. */
function rowsOf(baby: Baby): readonly Row[] {
  const at = (day: string) => correctedAgeDays(ageInDays(baby.bornOn, day), baby.gestationWeeks);
  const told = [...baby.weights]
    .sort((a, b) => (a.day < b.day ? -1 : 1))
    .map(({ day, grams, where, doubtful }): Row => ({ day, grams, where, doubtful, ageDays: at(day) }));
  if (baby.birthWeightGrams === null) return told;
  const birth: Row = {
    day: baby.bornOn,
    grams: baby.birthWeightGrams,
    where: 'birth',
    doubtful: false,
    ageDays: at(baby.bornOn),
  };
  return [birth, ...told];
}

/** With its sign, so that a loss is seen at a glance. */
function signed(value: number, decimals: number): string {
  const figure = Math.abs(value).toFixed(decimals);
  return value > 0 ? `+${figure}` : value < 0 ? `−${figure}` : figure;
}
