import { scaleLinear } from 'd3-scale';
import { curveMonotoneX, line } from 'd3-shape';
import { daysInMonth } from '../../care/age.ts';
import { gramsAtZ, type Sex, weightForAgeLms } from '../../care/weight-for-age.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';

/** A weight to draw: age in days (corrected for a baby born early; negative before the due day) and grams. */
export interface ChartWeight {
  readonly ageDays: number;
  readonly grams: number;
  readonly doubtful: boolean;
}

const [width, height] = [400, 270];
const room = { top: 28, right: 52, bottom: 40, left: 28 };
/** The shortest stretch shown, so that a newborn's three points do not look like a mountain. */
const leastDays = 56;
/** The last day of the WHO tables that are here: 24 months. */
const lastDay = 730;
const curves = [-2, 0, 2] as const;

/**
 * Weights of one baby among the WHO curves at -2, 0 and +2 standard deviations. Without the sex there are no curves.
 * Source of the curves: WHO Child Growth Standards, 2006, weight-for-age.
 */
export function weightChart(
  weights: readonly ChartWeight[],
  sex: Sex | null,
  ageDays: number,
  speech: Speech,
  id: string,
): Html {
  const { say } = speech;
  const ages = weights.map((w) => w.ageDays);
  const from = Math.min(0, ...ages);
  const to = Math.min(lastDay, Math.max(leastDays, ageDays * 1.15, ...ages));
  const drawn = sex === null ? [] : curves.map((z) => ({ z, points: curve(sex, z, Math.max(0, from), to) }));
  const grams = [...weights.map((w) => w.grams), ...drawn.flatMap((c) => c.points.map((p) => p.grams))];
  const x = scaleLinear([from, to], [room.left, width - room.right]);
  const y = scaleLinear(
    [Math.min(...grams, 2000), Math.max(...grams, 4000)],
    [height - room.bottom, room.top],
  ).nice(6);
  const path = line<{ readonly ageDays: number; readonly grams: number }>()
    .x((p) => rounded(x(p.ageDays)))
    .y((p) => rounded(y(p.grams)));
  const smooth = line<{ readonly ageDays: number; readonly grams: number }>()
    .x((p) => rounded(x(p.ageDays)))
    .y((p) => rounded(y(p.grams)))
    .curve(curveMonotoneX);
  const sure = weights.filter((w) => !w.doubtful);
  const base = height - room.bottom;
  return html`<svg viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="${id}"><title id="${id}">${say('weight.chart')}</title>
    ${y.ticks(6).map((g) => html`<line class="grid" x1="${room.left}" x2="${width - room.right}" y1="${rounded(y(g))}" y2="${rounded(y(g))}"/><text x="${room.left - 6}" y="${rounded(y(g) + 4)}" text-anchor="end">${g / 1000}</text>`)}
    ${ageTicks(from, to).map(({ at, label }) => html`<line class="axis" x1="${rounded(x(at))}" x2="${rounded(x(at))}" y1="${base}" y2="${base + 5}"/><text x="${rounded(x(at))}" y="${base + 18}" text-anchor="middle">${label}</text>`)}
    <line class="axis" x1="${room.left}" x2="${width - room.right}" y1="${base}" y2="${base}"/>
    <text x="4" y="12">kg</text><text x="${(room.left + width - room.right) / 2}" y="${height - 5}" text-anchor="middle">${say(to > monthsFrom ? 'weight.months' : 'weight.weeks')}</text>
    ${drawn.map(({ z, points }) => html`<path class="${z === 0 ? 'median' : 'sd'}" d="${smooth(points) ?? ''}"/><text x="${width - room.right + 5}" y="${rounded(y(points.at(-1)?.grams ?? 0) + 4)}">${z === 0 ? say('weight.median') : `${z > 0 ? '+' : '−'}2 SD`}</text>`)}
    <path class="own" d="${path(sure) ?? ''}"/>
    ${weights.map((w) => html`<circle class="${w.doubtful ? 'doubt' : 'dot'}" cx="${rounded(x(w.ageDays))}" cy="${rounded(y(w.grams))}" r="4"/>`)}
  </svg>`;
}

/** From this age the axis counts months. */
const monthsFrom = 100;

function curve(sex: Sex, z: number, from: number, to: number) {
  const step = Math.max(1, (to - from) / 40);
  const points: { ageDays: number; grams: number }[] = [];
  for (let day = from; day < to + step; day += step) {
    const ageDays = Math.min(day, to);
    const lms = weightForAgeLms(sex, ageDays);
    if (lms !== undefined) points.push({ ageDays, grams: gramsAtZ(lms, z) });
  }
  return points;
}

function ageTicks(from: number, to: number): readonly { readonly at: number; readonly label: number }[] {
  const unit = to > monthsFrom ? daysInMonth : 7;
  const last = Math.floor(to / unit);
  const every = Math.ceil(last / 12);
  const first = Math.ceil(from / unit / every) * every;
  return Array.from({ length: Math.floor((last - first) / every) + 1 }, (_, i) => first + i * every).map(
    (label) => ({
      at: label * unit,
      label,
    }),
  );
}

function rounded(value: number): number {
  return Math.round(value * 10) / 10;
}
