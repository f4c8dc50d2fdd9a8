import { type TipCoverage, tipCoverage } from '../../care/tips/tip-coverage.ts';
import { canFit, firstTipsMissed, tipsNeverTold, tipsOfMothers } from '../../care/tips/tip-reach.ts';
import type { Tip } from '../../care/tips/index.ts';
import type { LanguageFile } from '../../language/wording.ts';
import { type Finding, problem, remark } from './finding.ts';
import { leavesOf } from './leaves.ts';
import { loadTips } from '../load-tips.ts';

const file = 'flows/tips.yaml';

/**
 * What would leave a mother without a tip, or a tip without a mother: a week or fortnight with nothing left to tell for somebody, a tip
 * that fits nobody, one of priority 1 that somebody misses, a text whose tip is gone; and, as a remark, a tip that is never its turn.
 */
export function checkTips(
  tips: readonly Tip[],
  texts: readonly LanguageFile[],
  languages: readonly string[],
): readonly Finding[] {
  const mothers = tipsOfMothers(tips, languages);
  const ids = new Set(tips.map(({ id }) => `tips.${id}`));
  return [
    ...tipCoverage(tips, languages).flatMap(uncovered),
    ...tips
      .filter((tip) => !canFit(tip, languages))
      .map(({ id }) => problem(`${file}: "${id}" fits nobody: its conditions cannot all hold`)),
    ...tipsNeverTold(
      tips.filter((tip) => canFit(tip, languages)),
      languages,
      mothers,
    ).map(({ id }) =>
      remark(`${file}: "${id}" always stands behind others until its time is over; end it on another day`),
    ),
    ...firstTipsMissed(tips, mothers).map(({ tip, joinedAtDays }) =>
      problem(
        `${file}: "${tip.id}" has priority 1 and is missed by a mother who joined at ${joinedAtDays} days; widen its window, or give others another priority`,
      ),
    ),
    ...texts.flatMap((text) =>
      [...leavesOf(text).keys()]
        .filter((key) => !ids.has(key))
        .map((key) => problem(`${text.file}: "${key}" is the text of no tip in ${file}`)),
    ),
  ];
}

function uncovered({ eats, spans }: TipCoverage): readonly Finding[] {
  return spans
    .filter(({ fewest }) => fewest === 0)
    .map(({ fromDays, untilDays }) =>
      problem(
        `${file}: nothing is left to tell some mother who eats "${eats}" at ${fromDays} to ${untilDays - 1} days of age; add a tip for everybody there`,
      ),
    );
}

const bars = '▁▂▃▄▅▆▇█';

/** Reads the calendar of tips and draws its coverage. @throws ContentError as `loadTips` */
export function tipsPicture(root: string, languages: readonly string[]): readonly string[] {
  return coveragePicture(tipCoverage(loadTips(root, languages), languages));
}

/**
 * The fewest tips left to tell, a bar a week in the first year and a bar a fortnight in the second, a line for each way of eating.
 * An exclamation mark stands where there is none; the highest bar is eight or more.
 */
export function coveragePicture(coverage: readonly TipCoverage[]): readonly string[] {
  const lines = coverage.map(({ eats, spans }) => {
    const drawn = spans.map(({ fewest }) => (fewest === 0 ? '!' : (bars[Math.min(fewest, 8) - 1] ?? '')));
    const year = spans.filter(({ fromDays }) => fromDays < 364).length;
    return `  ${eats}  ${drawn.slice(0, year).join('')} ${drawn.slice(year).join('')}`;
  });
  return [
    'tips left to tell, for the mother with the fewest (! none, █ eight or more)',
    `       ${['week 0', 'week 13', 'week 26', 'week 39'].map((w) => w.padEnd(13)).join('')} one year, by fortnights`,
    ...lines,
  ];
}
