import { ageInDays } from '../care/age.ts';
import type { Assessment } from '../care/assess.ts';
import { silenceReason } from '../care/silence.ts';
import { mostUrgent } from '../care/tier.ts';
import { openAlerts, raiseAlert } from '../counsel/alerts.ts';
import { tellCorrection } from '../counsel/tell-correction.ts';
import { answering } from '../counsel/telling.ts';
import { planCheckIn, plannedCheckIn } from './check-in-plan.ts';
import { whoIsTold } from './danger-told.ts';
import type { Run } from './dialog-context.ts';
import { changeMother, type Draft, note, say, writingMother } from './draft.ts';
import type { Alert, Answers, Mother, Weight } from './line.ts';
import { babyAssessed } from './mother-assessed.ts';
import { babyWords } from './naming.ts';
import { isPaused } from './pause.ts';
import { sayPromise } from './promise-told.ts';

const keptCheckIns = 30;
const keptWeights = 40;
const places = ['clinic', 'home', 'other'] as const;

/**
 * Ends a check-in: keeps the answers, judges them by the care rules, tells her one good thing, one thing to do, and when we
 * talk next. A concern of tier A or B reaches a person in the same commit; tier C goes on the list.
 */
export function recordCheckIn(draft: Draft, run: Run): void {
  const { world } = draft;
  const mother = writingMother(draft);
  if (mother === undefined) return;
  if (Object.values(run.answers).every((v) => v === null)) {
    recordSilence(draft, mother);
    return;
  }
  // Closed for being idle, often on the next morning: what she answered is of the day on which she answered.
  const { dialog } = draft.state;
  const day = world.calendar.day(dialog?.touchedAt ?? world.now);
  const index = draft.state.writing;
  const ageDays = Math.max(0, ageInDays(mother.babies[0]?.bornOn ?? day, day));
  const checkIns = [
    ...mother.checkIns.filter((c) => c.day !== day),
    { day, at: dialog?.touchedAt ?? world.now, answers: run.answers },
  ];
  changeMother(draft, index, {
    checkIns: checkIns.slice(-keptCheckIns),
    missed: 0,
    ...('grams#0' in run.answers ? { weighingAskedAtDays: ageDays } : {}),
    ...('interest' in run.answers ? { talkedAtDays: [...mother.talkedAtDays, ageDays] } : {}),
  });
  keepWeights(draft, run.answers, day);
  note(draft, 'check-in', { mother: index, day, answers: run.answers, open: run.open });

  const worry = run.answers['worry'];
  const words = typeof worry === 'string' && worry !== 'keys' ? worry : '';
  const worst = judge(draft, day, words);
  if (worst === undefined) return;
  sayFeedback(draft, worst, run.answers);
  const { tier } = worst.assessment;
  if (tier !== 'A' && tier !== 'B' && words !== '') say(draft, 'feedback.worry-passed-on');
  const at = dialog === null ? planCheckIn(draft, index) : plannedCheckIn(draft, index);
  if (run.answers['seen'] === false && tier !== 'A' && tier !== 'B') {
    // One message: the visit is worth more to her than the day of the next question.
    say(draft, 'talk.visit');
    return;
  }
  // At rest she is asked again when she says so.
  if (at === undefined) return;
  const today = world.calendar.day(world.now);
  const days = Math.round((Date.parse(world.calendar.day(at)) - Date.parse(today)) / 86_400_000);
  say(draft, 'feedback.next', { count: days });
}

/**
 * Answers of today's check-in corrected after its feedback: kept, judged and told anew. An alert can only rise by it; the counsellor
 * is told of the correction.
 * @param values the new answers, by answer key
 * @param what the change in a language, for the counsellor
 */
export function correctCheckIn(draft: Draft, values: Answers, what: (language: string) => string): void {
  const index = draft.state.writing;
  const last = writingMother(draft)?.checkIns.at(-1);
  if (last === undefined) return;
  const answers = { ...last.answers, ...values };
  changeMother(draft, index, {
    checkIns: [...(writingMother(draft)?.checkIns.slice(0, -1) ?? []), { ...last, answers }],
  });
  if (Object.keys(values).some((key) => key.startsWith('grams#'))) keepWeights(draft, answers, last.day);
  const before = openAlerts(draft).find((a) => a.mother === index);
  const worst = judge(draft, last.day, '');
  if (worst === undefined) return;
  const after = openAlerts(draft).find((a) => a.mother === index);
  const isCalled = after !== undefined && after.tier !== 'C';
  // One message: with what was changed and who calls, there is no room for what goes well.
  sayFeedback(draft, worst, answers, isCalled);
  if (before === undefined || after === undefined) return;
  tellCorrection(draft, after, what);
  // She is called all the same, although nothing in her answers asks for it any more.
  const { tier } = worst.assessment;
  if (isCalled && tier !== 'A' && tier !== 'B') sayPromise(draft, 'feedback', after);
}

/** A weight that she sent by herself: kept, judged, explained. */
export function recordWeight(draft: Draft, run: Run): void {
  const mother = writingMother(draft);
  if (mother === undefined) return;
  const day = draft.world.calendar.day(draft.state.dialog?.touchedAt ?? draft.world.now);
  keepWeights(draft, run.answers, day);
  const ageDays = Math.max(0, ageInDays(mother.babies[0]?.bornOn ?? day, day));
  changeMother(draft, draft.state.writing, { weighingAskedAtDays: ageDays });
  note(draft, 'weight', { mother: draft.state.writing, day, answers: run.answers });
  const worst = judge(draft, day, '');
  if (worst !== undefined) sayFeedback(draft, worst, run.answers);
}

interface Worst {
  readonly index: number;
  readonly assessment: Assessment;
  /** What was raised for it, or what it joined. */
  readonly alert: Alert | undefined;
}

/** Judges each of her babies, raises what needs a person, and gives the one that needs most. */
function judge(draft: Draft, day: string, words: string): Worst | undefined {
  const mother = writingMother(draft);
  if (mother === undefined) return undefined;
  const found = mother.babies.flatMap((_, index) => {
    const assessment = babyAssessed(mother, index, day);
    return assessment === undefined ? [] : [{ index, assessment }];
  });
  const tier = mostUrgent(found.map((f) => f.assessment.tier));
  const reasons = [...new Set(found.flatMap((f) => reasonsToTell(f.assessment)))];
  const shared = { mother: draft.state.writing, signs: [], words, confirmed: true };
  const alert = tier === 'none' ? undefined : raiseAlert(draft, { ...shared, tier, reasons });
  if (alert === undefined && words !== '') raiseAlert(draft, { ...shared, tier: 'C', reasons: ['worry'] });
  const worst = found.find((f) => f.assessment.tier === tier) ?? found[0];
  return worst && { ...worst, alert };
}

/** Several concerns at once raise the tier; the concerns themselves are what a counsellor wants to read. */
function reasonsToTell({ reasons }: Assessment): readonly string[] {
  return reasons.filter((r) => r.tier !== 'none' && r.code !== 'concerns-together').map((r) => r.code);
}

/** At the end of a check-in that cannot wait: whether somebody calls. */
const personNow = {
  'safety.told': 'feedback.person-now',
  'safety.nobody-on-duty': 'feedback.person-now-passed-on',
  'safety.nobody': 'feedback.person-now-nobody',
} as const;

function sayFeedback(
  draft: Draft,
  { index, assessment, alert }: Worst,
  answers: Answers,
  isShort = false,
): void {
  const { world, state } = draft;
  const mother = writingMother(draft);
  const baby = babyWords(mother, index, mother?.babies.length ?? 1, state.language, world, draft.channel);
  const { growth, tier, good, advice } = assessment;
  const weighed = typeof answers[`grams#${index}`] === 'number' && growth.latest !== undefined;
  if (weighed && !isShort && growth.latest !== undefined) sayWeight(draft, baby, assessment, growth.latest.g);
  else if (!isShort) say(draft, good === null ? 'feedback.thanks' : `feedback.good.${good}`, { baby });
  say(draft, `feedback.advice.${advice}`, { baby });
  if (alert === undefined) return;
  if (tier === 'A') {
    const name = answering(draft)?.name ?? world.programme.name;
    say(draft, personNow[whoIsTold(draft)], { name, emergency: world.programme.emergencyNumber });
  } else if (tier === 'B') sayPromise(draft, 'feedback', alert);
}

/** Her baby's weight in plain words: what it is, and the one thing that it shows. */
function sayWeight(draft: Draft, baby: string, { growth }: Assessment, grams: number): void {
  const values = { baby, kilos: Math.floor(grams / 1000), grams: grams % 1000 };
  const first = growth.reasons.find((r) => r.tier !== 'none');
  if (first !== undefined)
    say(draft, `growth.${first.code}`, { ...values, percent: Math.round(growth.lossPercent ?? 0) });
  else if (growth.good !== null)
    say(draft, `growth.${growth.good}`, { ...values, perWeek: Math.round((growth.gPerWeek ?? 0) / 10) * 10 });
  else say(draft, 'growth.noted', values);
}

/** Keeps each told weight; one that the growth rules find unlikely stays marked and is never used by them. */
function keepWeights(draft: Draft, answers: Answers, day: string): void {
  const index = draft.state.writing;
  const mother = draft.state.mothers[index];
  if (mother === undefined || !mother.babies.some((_, i) => typeof answers[`grams#${i}`] === 'number'))
    return;
  const where = answers['where#0'];
  const babies = mother.babies.map((baby, i) => {
    const grams = answers[`grams#${i}`];
    if (typeof grams !== 'number') return baby;
    const weight: Weight = {
      day,
      grams,
      where: typeof where === 'number' ? (places[where - 1] ?? null) : null,
      doubtful: false,
    };
    return { ...baby, weights: [...baby.weights.filter((w) => w.day !== day), weight].slice(-keptWeights) };
  });
  changeMother(draft, index, { babies });
  const kept = draft.state.mothers[index];
  if (kept === undefined) return;
  const marked = kept.babies.map((baby, i) => {
    const doubtful = babyAssessed(kept, i, day)?.growth.doubtful ?? [];
    return {
      ...baby,
      weights: baby.weights.map((w) => ({
        ...w,
        doubtful: doubtful.some(
          (d) => !d.birth && d.g === w.grams && d.day === ageInDays(baby.bornOn, w.day),
        ),
      })),
    };
  });
  changeMother(draft, index, { babies: marked });
}

/** Nothing was answered. So many in a row are a signal of their own, more so for a newborn. */
function recordSilence(draft: Draft, mother: Mother): void {
  const { calendar, now } = draft.world;
  const index = draft.state.writing;
  // Who asked for a rest is not missing.
  if (isPaused(mother, calendar.day(now))) return;
  // Nor is she silent to whom the question never came: that we do not reach her is told by itself.
  const { askedOn = null } = mother;
  if (askedOn !== null && mother.notReachedOn === askedOn) {
    note(draft, 'check-in-not-reached', { mother: index, day: askedOn });
    return;
  }
  const missed = mother.missed + 1;
  changeMother(draft, index, { missed, silentOn: askedOn });
  note(draft, 'check-in-unanswered', { mother: index, missed });
  const open = openAlerts(draft).filter((a) => a.mother === index);
  const ageDays = Math.max(0, ageInDays(mother.babies[0]?.bornOn ?? calendar.day(now), calendar.day(now)));
  const reason = silenceReason(missed, ageDays, mostUrgent(open.map((a) => a.tier)));
  if (reason === undefined || reason.tier === 'none') return;
  raiseAlert(draft, {
    tier: reason.tier,
    mother: index,
    signs: [],
    reasons: [reason.code],
    words: '',
    confirmed: true,
  });
}
