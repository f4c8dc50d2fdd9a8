import { describe, expect, test } from 'vitest';
import { openCalendar } from '../../../src/language/calendar.ts';
import { loadContent, loadDeskWords } from '../../../src/programme/load-content.ts';
import { openSpeech } from '../../../src/web/desk/speech.ts';
import { type ChartWeight, weightChart } from '../../../src/web/desk/weight-chart.ts';

const parts = {
  words: loadDeskWords(),
  content: loadContent(),
  calendar: openCalendar('Asia/Kolkata'),
  programme: { emergencyNumber: '112' },
};
const speech = openSpeech(parts, 'en', Date.parse('2026-11-25T04:30:00Z'));
const twoMonths = 2 * 30.4375;

/** What the drawing shows, read back from it by its own axis. */
function read(weights: readonly ChartWeight[], sex: 'girl' | 'boy' | null) {
  const svg = weightChart(weights, sex, 50, speech, 'id').text;
  const ticks = [
    ...svg.matchAll(/<line class="grid"[^>]* y1="([\d.]+)"[^>]*\/><text[^>]*>([\d.]+)<\/text>/g),
  ].map(([, y, kilos]) => ({ y: Number(y), kilos: Number(kilos) }));
  const [low, high] = [ticks[0], ticks.at(-1)];
  if (low === undefined || high === undefined) throw new Error(`no axis in ${svg}`);
  const kilosAt = (y: number) => low.kilos + ((low.y - y) * (high.kilos - low.kilos)) / (low.y - high.y);
  const ends = (name: string) =>
    [...svg.matchAll(new RegExp(`<path class="${name}" d="([^"]*)"`, 'g'))].map(([, d = '']) => {
      const points = [...d.matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map(([, , y]) => kilosAt(Number(y)));
      return [points[0] ?? Number.NaN, points.at(-1) ?? Number.NaN];
    });
  const dots = [...svg.matchAll(/<circle class="(\w+)"[^>]* cy="([\d.]+)"/g)].map(([, kind, y]) => ({
    kind,
    kilos: kilosAt(Number(y)),
  }));
  return { sd: ends('sd'), median: ends('median'), own: ends('own'), dots };
}
const at = (ageDays: number, grams: number, doubtful = false): ChartWeight => ({ ageDays, grams, doubtful });

// WHO Child Growth Standards, 2006, simplified field tables, weight-for-age, z-scores, birth and 2 months. From memory.
const published = {
  girl: { '-2': [2.4, 3.9], '0': [3.2, 5.1], '2': [4.2, 6.6] },
  boy: { '-2': [2.5, 4.3], '0': [3.3, 5.6], '2': [4.4, 7.1] },
} as const;

describe('weights on the WHO curves', () => {
  test.each(['girl', 'boy'] as const)('the curves of a %s begin and end where the WHO tables say', (sex) => {
    const { sd, median } = read([at(twoMonths, 5000)], sex);
    const shown = { '-2': sd[0], '0': median[0], '2': sd[1] };
    for (const z of ['-2', '0', '2'] as const) {
      published[sex][z].forEach((kilos, i) => {
        expect([z, i, Math.abs((shown[z]?.[i] ?? 0) - kilos) <= 0.06]).toEqual([z, i, true]);
      });
    }
  });

  test('each weight is a dot at its own height, and one that is not believed is open and off the line', () => {
    const { dots, own } = read([at(0, 2900), at(14, 3100), at(21, 9000, true), at(30, 3500)], 'boy');
    expect(dots.map(({ kind, kilos }) => [kind, Math.round(kilos * 100) / 100])).toEqual([
      ['dot', 2.9],
      ['dot', 3.1],
      ['doubt', 9],
      ['dot', 3.5],
    ]);
    expect(own[0]?.map((kilos) => Math.round(kilos * 10) / 10)).toEqual([2.9, 3.5]);
  });

  test('without girl or boy there are no curves, and the weights are there all the same', () => {
    const { sd, median, dots } = read([at(0, 2900), at(14, 3100)], null);
    expect([sd, median, dots.length]).toEqual([[], [], 2]);
  });

  test('a baby born early is drawn before the due day, and at two years the drawing still holds', () => {
    expect(read([at(-35, 1900), at(10, 3000)], 'girl').dots).toHaveLength(2);
    expect(
      read([at(0, 3000), at(729, 11_500)], 'girl').dots.map((d) => Math.round(d.kilos * 10) / 10),
    ).toEqual([3, 11.5]);
  });
});
