import { ageInDays } from '../care/age.ts';
import { type Assessment, type AssessCase, assess } from '../care/assess.ts';
import type { FeedingAnswers } from '../care/feeding-answers.ts';
import type { MoodAnswers } from '../care/mood.ts';
import type { DayAnswers } from '../care/trend.ts';
import type { AnswerScalar, Answers, Baby, CheckIn, Mother } from './line.ts';

const pains = ['none', 'mild', 'severe'] as const;

/** What the care rules say of one of her babies today, from what is kept of her: answers, weights, the last days. */
export function babyAssessed(mother: Mother, index: number, day: string): Assessment | undefined {
  const baby = mother.babies[index];
  if (baby === undefined) return undefined;
  const today = mother.checkIns.find((c) => c.day === day);
  const answers = today?.answers ?? {};
  const mood = index === 0 ? moodOf(answers) : undefined;
  const all: AssessCase = {
    ...feedingAnswers(baby, index, answers, day),
    sex: baby.sex,
    weights: baby.weights.map((w) => ({ day: ageInDays(baby.bornOn, w.day), g: w.grams })),
    days: mother.checkIns.map((c) => dayAnswers(c, baby, index)),
    ...(mood === undefined ? {} : { mood }),
  };
  // Without a check-in today nothing was asked of feeds and nappies: that is no "could not tell".
  return assess(today === undefined ? { ...all, ...unasked } : all);
}

const unasked = { feeds24h: undefined, wetNappies24h: undefined, stools24h: undefined } as const;

/** The answers of one baby in the words of the feeding rules. A field left open is unknown. */
export function feedingAnswers(baby: Baby, index: number, answers: Answers, day: string): FeedingAnswers {
  const soft = answers['soft'];
  return {
    ageDays: Math.max(0, ageInDays(baby.bornOn, day)),
    birthWeightGrams: baby.birthWeightGrams,
    gestationWeeks: baby.gestationWeeks,
    feeds24h: told(answers[`feeds#${index}`]),
    longestGapHours: told(answers[`gap#${index}`]),
    wetNappies24h: told(answers[`wet#${index}`]),
    stools24h: told(answers[`stools#${index}`]),
    pain: painOf(answers),
    softAfterFeed: soft === true ? 'yes' : soft === false ? 'no' : soft === 'unsure' ? 'unsure' : null,
  };
}

function dayAnswers({ day, answers }: CheckIn, baby: Baby, index: number): DayAnswers {
  return {
    ageDays: Math.max(0, ageInDays(baby.bornOn, day)),
    feeds24h: told(answers[`feeds#${index}`]),
    pain: painOf(answers),
    worried: typeof answers['worry'] === 'string',
  };
}

function painOf(answers: Answers): 'none' | 'mild' | 'severe' | null {
  const pain = answers['pain'];
  return typeof pain === 'number' ? (pains[pain - 1] ?? null) : null;
}

/** The mood answers, 1-4 as asked, as 0-3. Undefined when they were not asked. */
function moodOf(answers: Answers): MoodAnswers | undefined {
  if (!('interest' in answers) && !('low' in answers)) return undefined;
  const points = (value: AnswerScalar | undefined) => (typeof value === 'number' ? value - 1 : null);
  return { littleInterest: points(answers['interest']), feelingDown: points(answers['low']) };
}

function told(value: AnswerScalar | undefined): number | { min: number; max: number } | null {
  if (typeof value === 'number') return value;
  const range = typeof value === 'string' ? /^(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/.exec(value) : null;
  return range === null ? null : { min: Number(range[1]), max: Number(range[2]) };
}
