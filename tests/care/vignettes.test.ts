import { expect, it } from 'vitest';
import { assess, type AssessCase } from '../../src/care/assess.ts';
import type { Sign, SignDetail, Tier } from '../../src/care/signs.ts';

const baby = (code: Sign['code'], detail: SignDetail = {}): Sign => ({ code, who: 'baby', detail });
const mother = (code: Sign['code'], detail: SignDetail = {}): Sign => ({ code, who: 'mother', detail });

/** Day of life to age in days: the tables by day, up to day 6, count the day of birth as day 1. */
const dayOfLife = (day: number): number => day - 1;

const weighed = (birthWeightGrams: number, day: number, g: number): Partial<AssessCase> => ({
  birthWeightGrams,
  weights: [{ day, g }],
});
const restGood = {
  feeds24h: 10,
  wetNappies24h: 7,
  stools24h: 4,
  longestGapHours: 3,
  pain: 'none',
  softAfterFeed: 'yes',
} as const;

type Vignette = readonly [number: number, told: AssessCase, tier: Tier, first?: string];

/** The 25 worked cases that the programme's clinical rules give with their tiers. Invented babies; where not told, unknown. */
const vignettes: readonly Vignette[] = [
  [1, { ageDays: 8, ...restGood, ...weighed(3000, 8, 2900) }, 'none'],
  [2, { ageDays: dayOfLife(4), ...weighed(3200, 3, 2880) }, 'B', 'weight-loss'],
  [
    3,
    { ageDays: dayOfLife(4), ...weighed(3200, 3, 2970), feeds24h: 9, wetNappies24h: 4 },
    'C',
    'weight-loss',
  ],
  [4, { ageDays: dayOfLife(4), ...weighed(3200, 3, 2980) }, 'none'],
  [5, { ageDays: dayOfLife(4), ...weighed(3200, 3, 2800) }, 'A', 'weight-loss'],
  [6, { ageDays: 15, ...restGood, ...weighed(2900, 15, 2890) }, 'C', 'not-regained'],
  [7, { ageDays: 22, ...weighed(2900, 22, 2880) }, 'B', 'not-regained'],
  [8, { ageDays: 10, feeds24h: 5 }, 'B', 'feeds-few'],
  [9, { ageDays: 10, feeds24h: 7, wetNappies24h: 6, stools24h: 3 }, 'C', 'feeds-few'],
  [10, { ageDays: 10, feeds24h: 7, stools24h: 2 }, 'B'],
  [11, { ageDays: dayOfLife(6), wetNappies24h: 4 }, 'B', 'wet-few'],
  [12, { ageDays: dayOfLife(6), wetNappies24h: 5 }, 'C', 'wet-few'],
  [13, { ageDays: 60, feeds24h: 6 }, 'C', 'feeds-few'],
  [
    14,
    {
      ageDays: 60,
      sex: 'boy',
      feeds24h: 7,
      longestGapHours: 6,
      birthWeightGrams: 3300,
      weights: [
        { day: 46, g: 4800 },
        { day: 60, g: 4800 + 14 * 28 },
      ],
    },
    'none',
  ],
  [15, { ageDays: 20, signs: [baby('fever')] }, 'A', 'fever'],
  [16, { ageDays: 100, signs: [baby('fever', { temperatureC: 38.2 })] }, 'B', 'fever'],
  [17, { ageDays: 80, signs: [baby('fever', { temperatureC: 38 })] }, 'A', 'fever'],
  [18, { ageDays: 5, ...restGood, signs: [baby('jaundice')] }, 'B', 'jaundice'],
  [19, { ageDays: 5, signs: [baby('jaundice', { palmsOrSoles: true })] }, 'A', 'jaundice'],
  [20, { ageDays: 200, signs: [baby('fast-breathing', { breathsPerMinute: 52 })] }, 'B', 'fast-breathing'],
  [21, { ageDays: 30, signs: [baby('fast-breathing', { breathsPerMinute: 60 })] }, 'A', 'fast-breathing'],
  [22, { ageDays: 6, signs: [mother('headache-vision')] }, 'A', 'headache-vision'],
  [23, { ageDays: 12, signs: [mother('breast-red-fever')] }, 'B', 'breast-red-fever'],
  [24, { ageDays: 30, ...restGood, feeds24h: 9, pain: 'severe' }, 'C', 'pain-severe'],
  [25, { ageDays: 9, stools24h: 4 }, 'C', 'could-not-tell'],
];

for (const [number, told, tier, first] of vignettes) {
  it(`vignette ${number} is ${tier}`, () => {
    const assessment = assess(told);
    expect(assessment.tier).toBe(tier);
    const codes = assessment.reasons
      .map((reason) => reason.code)
      .filter((code) => code !== 'concerns-together');
    if (tier === 'none') expect(codes).toEqual([]);
    else if (first !== undefined) expect(codes[0]).toBe(first);
  });
}

it('has all 25', () => {
  expect(vignettes.map(([number]) => number)).toEqual(Array.from({ length: 25 }, (_, index) => index + 1));
});
