import { parseArgs } from 'node:util';
import { ageInDays } from '../care/age.ts';
import { allergens } from '../care/diet/foods.ts';
import {
  lastTipDay,
  recentConcernDays,
  type TipConcern,
  tipConcerns,
  type TipFacts,
} from '../care/tips/index.ts';

export const tipsUsage =
  'tips [--born YYYY-MM-DD] [--joined <days>] [--until <days>] [--eats veg|egg|all] [--language <code>] [--babies <n>] [--weeks <n>] [--first-baby yes|no] [--keeps-away <allergen>,…] [--concern <code>[@<day>]]…';

/** A case to be shown: who she is, when her baby was born, from which age to which she is told tips. */
export interface TipsAsked {
  readonly her: Omit<TipFacts, 'ageDays' | 'month' | 'concerns'>;
  readonly bornOn: string;
  readonly joinedAtDays: number;
  readonly untilDays: number;
  /** Concerns with the age in days at which each was told; undefined: all along. */
  readonly concerns: readonly { readonly concern: TipConcern; readonly day: number | undefined }[];
}

/**
 * Reads the options of `eightfeeds tips`.
 * @param today YYYY-MM-DD, the birthday where none is given
 * @returns a sentence when something is wrong
 */
export function tipsAsked(
  args: readonly string[],
  today: string,
  languages: readonly string[],
): TipsAsked | string {
  const values = optionsOf(args);
  if (typeof values === 'string') return values;
  const { born = today, eats = 'all', language = languages[0] ?? 'en' } = values;
  const joinedAtDays = Number(values.joined ?? 1);
  const untilDays = Number(values.until ?? lastTipDay);
  const babies = Number(values.babies ?? 1);
  const weeks = values.weeks === undefined ? null : Number(values.weeks);
  const allergies = (values['keeps-away'] ?? '').split(',').filter((one) => one !== '');
  const firstBaby = values['first-baby'];
  if (!isDay(born)) return '--born is a day, YYYY-MM-DD';
  if (eats !== 'veg' && eats !== 'egg' && eats !== 'all') return '--eats is veg, egg or all';
  if (!languages.includes(language)) return `--language is one of ${languages.join(', ')}`;
  if (!isWhole(joinedAtDays, 0, lastTipDay - 1)) return `--joined is an age in days, 0 to ${lastTipDay - 1}`;
  if (!isWhole(untilDays, 1, lastTipDay)) return `--until is an age in days, 1 to ${lastTipDay}`;
  if (!isWhole(babies, 1, 3)) return '--babies is 1, 2 or 3';
  if (weeks !== null && !isWhole(weeks, 22, 44)) return '--weeks are the weeks of pregnancy, 22 to 44';
  if (firstBaby !== undefined && firstBaby !== 'yes' && firstBaby !== 'no')
    return '--first-baby is yes or no';
  const kept = allergens.filter((one) => allergies.includes(one));
  if (kept.length < new Set(allergies).size) return `--keeps-away takes ${allergens.join(', ')}`;
  const concerns = (values.concern ?? []).map(concernOf);
  const wrong = concerns.find((one) => typeof one === 'string');
  if (wrong !== undefined) return wrong;
  return {
    her: {
      babies,
      gestationWeeks: weeks,
      firstBaby: firstBaby === undefined ? null : firstBaby === 'yes',
      eats,
      allergies: kept,
      language,
    },
    bornOn: born,
    joinedAtDays,
    untilDays,
    concerns: concerns.filter((one) => typeof one !== 'string'),
  };
}

/** The concerns that count as recent at an age in days. */
export function concernsAt({ concerns }: TipsAsked, ageDays: number): readonly TipConcern[] {
  return concerns
    .filter(({ day }) => day === undefined || (ageDays >= day && ageDays <= day + recentConcernDays))
    .map(({ concern }) => concern);
}

function optionsOf(args: readonly string[]) {
  const text = { type: 'string' } as const;
  try {
    return parseArgs({
      args: [...args],
      options: {
        born: text,
        joined: text,
        until: text,
        eats: text,
        language: text,
        babies: text,
        weeks: text,
        'first-baby': text,
        'keeps-away': text,
        concern: { type: 'string', multiple: true },
      },
    }).values;
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

function concernOf(written: string): TipsAsked['concerns'][number] | string {
  const [code = '', at] = written.split('@');
  const concern = tipConcerns.find((one) => one === code);
  if (concern === undefined) return `there is no concern "${code}"; they are ${tipConcerns.join(', ')}`;
  const day = at === undefined ? undefined : Number(at);
  if (day !== undefined && !isWhole(day, 0, lastTipDay)) return `"${written}": after @ stands an age in days`;
  return { concern, day };
}

const isWhole = (value: number, least: number, most: number): boolean =>
  Number.isInteger(value) && value >= least && value <= most;

function isDay(text: string): boolean {
  try {
    return ageInDays(text, text) === 0;
  } catch {
    return false;
  }
}
