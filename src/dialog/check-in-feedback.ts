import { ageInDays } from '../care/age.ts';
import { feedingAdequacy } from '../care/feeding-adequacy.ts';
import type { FeedingAnswers } from '../care/feeding-answers.ts';
import { mostUrgent } from '../care/tier.ts';
import { raiseAlert } from '../counsel/alerts.ts';
import { planCheckIn } from './check-in-plan.ts';
import type { Run } from './dialog-context.ts';
import { changeMother, type Draft, note, say, writingMother } from './draft.ts';
import type { AnswerScalar, Answers, Baby } from './line.ts';
import { babyWords } from './naming.ts';

const keptCheckIns = 30;
const pains = ['none', 'mild', 'severe'] as const;

/**
 * Ends a check-in: keeps the answers, judges them by the feeding rules, tells her one good thing, one thing to do, and when
 * we talk next. A concern of tier A or B reaches a person in the same commit; tier C goes on the list.
 */
export function recordCheckIn(draft: Draft, run: Run): void {
  const { world } = draft;
  const mother = writingMother(draft);
  if (mother === undefined || Object.values(run.answers).every((v) => v === null)) {
    note(draft, 'check-in-unanswered', {});
    return;
  }
  const day = world.calendar.day(world.now);
  const index = draft.state.writing;
  changeMother(draft, index, {
    checkIns: [
      ...mother.checkIns.filter((c) => c.day !== day),
      { day, at: world.now, answers: run.answers },
    ].slice(-keptCheckIns),
    missed: 0,
  });
  note(draft, 'check-in', { mother: index, day, answers: run.answers, open: run.open });

  const found = mother.babies.map((baby, i) => ({
    i,
    ...feedingAdequacy(feedingAnswers(baby, i, run.answers, day)),
  }));
  const tier = mostUrgent(found.map((f) => f.tier));
  const worst = found.find((f) => f.tier === tier) ?? found[0];
  if (worst === undefined) return;
  const reasons = found.flatMap((f) => f.reasons.filter((r) => r.tier !== 'none').map((r) => r.code));
  const worry = run.answers['worry'];
  const words = typeof worry === 'string' && worry !== 'keys' ? worry : '';
  if (tier !== 'none') {
    raiseAlert(draft, { tier, mother: index, signs: [], reasons, words, confirmed: true });
  } else if (words !== '') {
    raiseAlert(draft, { tier: 'C', mother: index, signs: [], reasons: ['worry'], words, confirmed: true });
  }
  const good = worst.good ?? found.find((f) => f.good !== null)?.good ?? null;
  say(draft, good === null ? 'feedback.thanks' : `feedback.good.${good}`);
  const baby = babyWords(mother, worst.i, mother.babies.length, draft.state.language, world, draft.channel);
  say(draft, `feedback.advice.${worst.advice}`, { baby });
  if (tier === 'A' || tier === 'B') {
    const name = programmePerson(draft);
    say(draft, tier === 'A' ? 'feedback.person-now' : 'feedback.person-today', {
      name,
      emergency: world.programme.emergencyNumber,
    });
  } else if (words !== '') say(draft, 'feedback.worry-passed-on');
  const at = planCheckIn(draft, index);
  const days = Math.round((Date.parse(world.calendar.day(at)) - Date.parse(day)) / 86_400_000);
  say(draft, 'feedback.next', { count: days });
}

function programmePerson(draft: Draft): string {
  return draft.world.programme.counsellors[0]?.name ?? draft.world.programme.name;
}

/** The answers of one baby in the words of the feeding rules. A field left open is unknown. */
export function feedingAnswers(baby: Baby, index: number, answers: Answers, day: string): FeedingAnswers {
  const pain = answers['pain'];
  const soft = answers['soft'];
  return {
    ageDays: Math.max(0, ageInDays(baby.bornOn, day)),
    birthWeightGrams: baby.birthWeightGrams,
    gestationWeeks: baby.gestationWeeks,
    feeds24h: told(answers[`feeds#${index}`]),
    longestGapHours: told(answers[`gap#${index}`]),
    wetNappies24h: told(answers[`wet#${index}`]),
    stools24h: told(answers[`stools#${index}`]),
    pain: typeof pain === 'number' ? (pains[pain - 1] ?? null) : null,
    softAfterFeed: soft === true ? 'yes' : soft === false ? 'no' : soft === 'unsure' ? 'unsure' : null,
  };
}

function told(value: AnswerScalar | undefined): number | { min: number; max: number } | null {
  if (typeof value === 'number') return value;
  const range = typeof value === 'string' ? /^(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/.exec(value) : null;
  return range === null ? null : { min: Number(range[1]), max: Number(range[2]) };
}
