import { oldestAgeDays } from '../care/check-in-rhythm.ts';
import { ageInDays } from '../care/age.ts';
import type { Run } from './dialog-context.ts';
import { change, type Draft, note, say } from './draft.ts';
import { type AnswerScalar, type Baby, maxMothersOnLine, type Mother } from './line.ts';
import { planCheckIn } from './check-in-plan.ts';
import { shortDay } from '../counsel/mothers-answers.ts';

const eats = ['veg', 'egg', 'all'] as const;
/** The hour used when she gave none: 10:00. */
const usualMinuteOfDay = 600;

/** Puts the mother who just enrolled on the line, from the answers of the enrolment. */
export function enrolMother(draft: Draft, run: Run): void {
  const { world, state } = draft;
  const born = run.answers['born'];
  const today = world.calendar.day(world.now);
  if (typeof born !== 'string') {
    // Without a birth day no rule can be read for the baby: a person must ask.
    say(draft, 'enrolment.no-birth-date', { help: '' });
    note(draft, 'enrolment-incomplete', { open: run.open });
    return;
  }
  if (ageInDays(born, today) > oldestAgeDays) {
    say(draft, 'enrolment.too-old');
    note(draft, 'enrolment-too-old', {});
    return;
  }
  if (state.mothers.length >= maxMothersOnLine) {
    say(draft, 'enrolment.line-full');
    return;
  }
  const count = numberOr(run.answers['babies'], 1);
  const babies = Array.from({ length: count }, (_, i): Baby => {
    const sex = run.answers[`sex#${i}`];
    const name = run.answers[`babyName#${i}`];
    const weight = run.answers[`weight#${i}`];
    return {
      name: typeof name === 'string' ? name : null,
      bornOn: born,
      sex: sex === 1 ? 'girl' : sex === 2 ? 'boy' : null,
      birthWeightGrams: typeof weight === 'number' ? weight : null,
      gestationWeeks: null,
      weights: [],
    };
  });
  const name = run.answers['name'];
  const mother: Mother = {
    name: typeof name === 'string' ? name : null,
    enrolledAt: world.now,
    babies,
    eats: eats[numberOr(run.answers['eats'], 3) - 1] ?? 'all',
    checkInMinuteOfDay: numberOr(run.answers['hour'], usualMinuteOfDay),
    checkIns: [],
    missed: 0,
    weighingAskedAtDays: null,
    talkedAtDays: [],
  };
  change(draft, { mothers: [...state.mothers, mother], writing: state.mothers.length });
  note(draft, 'enrolled', { babies: count, eats: mother.eats, bornOn: born });
  const at = planCheckIn(draft, state.mothers.length) ?? world.now;
  const { calendar } = world;
  const on = calendar.day(at);
  const when = on === today ? 'today' : on === calendar.plusDays(today, 1) ? 'tomorrow' : 'later';
  const minute = calendar.minuteOfDay(at);
  say(draft, `enrolment.done-${when}`, {
    time: clockTime(minute),
    ...(when === 'later' ? { day: shortDay(on) } : {}),
  });
}

/** "7:05", in the digits that every phone shows. @param minuteOfDay 0 to 1439 */
export function clockTime(minuteOfDay: number): string {
  return `${Math.floor(minuteOfDay / 60)}:${String(minuteOfDay % 60).padStart(2, '0')}`;
}

function numberOr(value: AnswerScalar | undefined, otherwise: number): number {
  return typeof value === 'number' ? value : otherwise;
}
