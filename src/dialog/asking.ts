import { ageInDays } from '../care/age.ts';
import { oldestAgeDays } from '../care/check-in-rhythm.ts';
import { plausibleWeight } from '../care/plausible-weight.ts';
import type { Asked, Reading } from '../language/asked.ts';
import { readAnswer, readKeys } from '../language/answers/index.ts';
import type { Channel } from '../language/wording.ts';
import type { Doubt } from './dialog-context.ts';
import type { Asking } from './dialog-steps.ts';
import { answerParts } from './answer-parts.ts';
import { answerKey, type Field, type Step } from './flow.ts';
import { readFoodKeys, readFoodText } from './food-answers.ts';
import { foodValues } from './food-menus.ts';
import type { AnswerScalar, Answers, LineState, Say } from './line.ts';
import { missingFields } from './machine.ts';
import { babyWords } from './naming.ts';
import { askedOf } from './asked-of.ts';
import { isLongAgo } from './second-thoughts.ts';
import type { World } from './world.ts';

/** The fields that the channel can ask now: by text all that wait, by keypad the first. */
export function askedNow(asking: Asking, channel: Channel): readonly Field[] {
  const waiting = missingFields(asking.step, asking.run);
  if (channel === 'text') return waiting;
  const byKey = waiting.filter((f) => f.kind !== 'words' || isPressed(f));
  return byKey.slice(0, 1);
}

/** What to ask where she stands. A re-ask is simpler, the one after shows an example. */
export function askSays(asking: Asking, state: LineState, world: World, channel: Channel): readonly Say[] {
  const { flow, step, run } = asking;
  const values = askValues(asking, state, world, channel);
  if (run.doubt !== null) {
    return [
      { key: 'ask.doubt', values: { ...values, value: scalarWords(run.doubt, step, state, world, channel) } },
    ];
  }
  const askable = askedNow(asking, channel);
  // On a call a name cannot be keyed in: it is asked all the same, and any key goes on without it.
  const fields = askable.length > 0 ? askable : missingFields(step, run).slice(0, 1);
  const manner = run.attempts === 0 ? 'ask' : run.attempts === 1 ? 'simple' : 'example';
  const whole = channel === 'text' && fields.length === (step.ask?.length ?? 0);
  if (whole) return [{ key: `ask.${flow.flow}.${step.id}.${manner}`, values }];
  const needed = fields.filter((f) => channel === 'voice' || !f.optional);
  // Half answered on a call, only what may be left out can be open: then that is asked, for silence tells her nothing.
  return (needed.length > 0 ? needed : fields).map((f) => ({ key: `field.${f.field}.${manner}`, values }));
}

function askValues(
  asking: Asking,
  state: LineState,
  world: World,
  channel: Channel,
): Record<string, string | number> {
  const { step, run } = asking;
  // The babies of an enrolment are not on the line yet: on a shared phone the last mother's are not hers.
  const mother = asking.flow.flow === 'enrolment' ? undefined : state.mothers[state.writing];
  const count =
    typeof run.answers['babies'] === 'number' ? run.answers['babies'] : (mother?.babies.length ?? 1);
  return {
    baby: step.each === 'baby' ? babyWords(mother, run.baby, count, state.language, world, channel) : '',
    menu: (step.ask ?? []).some((f) => f.kind === 'language' || f.kind === 'mother')
      ? menu(step, state, world, channel)
      : '',
    mother: mother?.name ?? '',
    ...Object.assign({}, ...(step.ask ?? []).map((f) => foodValues(f, run, state, world, channel))),
  };
}

function menu(step: Step, state: LineState, world: World, channel: Channel): string {
  const { wording, languages } = world.content;
  const names = (step.ask ?? []).some((f) => f.kind === 'language')
    ? languages.map((l) => wording.say('language.name', {}, l, channel))
    : state.mothers.map((m, i) => m.name ?? wording.say(`mother.${i + 1}`, {}, state.language, channel));
  return names
    .map((name, i) => wording.say('menu.item', { number: i + 1, name }, state.language, channel))
    .join(channel === 'voice' ? ' ' : '\n');
}

/** A doubtful value in her words: "3 kg 200 g". */
function scalarWords(doubt: Doubt, step: Step, state: LineState, world: World, channel: Channel): string {
  const name = doubt.field.split('#')[0] ?? '';
  const field = step.ask?.find((f) => f.field === name);
  const { wording } = world.content;
  if (field?.kind === 'weight' && typeof doubt.value === 'number') {
    const values = { kilos: Math.floor(doubt.value / 1000), grams: doubt.value % 1000 };
    return wording.say('value.weight', values, state.language, channel);
  }
  if (field?.kind === 'time-of-day' && typeof doubt.value === 'number') {
    const time = `${Math.floor(doubt.value / 60)}:${String(doubt.value % 60).padStart(2, '0')}`;
    return wording.say('value.time', { time }, state.language, channel);
  }
  if (field?.kind === 'date' && typeof doubt.value === 'string')
    return dateWords(doubt.value, state.language);
  return String(doubt.value);
}

/** A calendar day in her language, in Latin digits where her phone may lack others. */
function dateWords(day: string, language: string): string {
  const at = Date.parse(`${day}T00:00:00Z`);
  const locale = language === 'hi-Latn' ? 'en-IN' : `${language}-u-nu-latn`;
  return new Intl.DateTimeFormat(locale, {
    day: 'numeric',
    month: 'long',
    year: 'numeric',
    timeZone: 'UTC',
  }).format(at);
}

/** What came of an answer: fields read, one doubt to ask back, words left over. Nothing read at all is an unclear answer. */
export interface AnswerTaken {
  readonly read: Answers;
  readonly doubt: Doubt | null;
}

const nothing: AnswerTaken = { read: {}, doubt: null };

/** Reads a text as the answer about one baby. */
export function takeOne(asking: Asking, text: string, state: LineState, world: World): AnswerTaken {
  const { step, run } = asking;
  const today = world.calendar.day(world.now);
  if (run.doubt !== null) {
    const context = { today, language: state.language };
    return takeDoubt(run.doubt, readAnswer(text, { kind: 'yes-no' }, world.content.answerWords, context));
  }
  const waiting = missingFields(step, run);
  const [only] = waiting;
  if (only !== undefined && (only.kind === 'kitchen' || only.kind === 'go-on')) {
    const value = readFoodText(only, text, world);
    return value === undefined ? nothing : { read: { [only.field]: value }, doubt: null };
  }
  const figures = waiting.filter((f) => f.kind !== 'words');
  const { readings, meant, rest, none } = answerParts(asking, waiting, text, state, world);
  const plain = take(figures, meant, asking, state, world);
  const { born, ...others } = plain.read;
  const taken: AnswerTaken =
    typeof born === 'string' && isLongAgo(born, text, today)
      ? { read: others, doubt: { field: 'born', value: born } }
      : plain;
  const wordFields = waiting.filter((f) => f.kind === 'words');
  const answeredSomething = Object.keys(taken.read).length > 0 || taken.doubt !== null;
  const onlyWords = figures.length === 0;
  const read: Record<string, AnswerScalar> = { ...taken.read };
  for (const f of wordFields) {
    const key = answerKey(step, f.field, run.baby);
    if (
      !none &&
      /\p{L}[\p{L}\p{M}]/u.test(rest) &&
      (answeredSomething || onlyWords || figures.every((g) => g.optional))
    ) {
      read[key] = rest.trim().slice(0, f.max ?? 160);
    } else if (f.optional && (answeredSomething || none)) read[key] = null;
  }
  const worry = answerKey(step, 'worry', run.baby);
  if (
    !answeredSomething &&
    !none &&
    wordFields.some((f) => f.field === 'worry') &&
    text.trim().split(/\s+/u).length > 2
  ) {
    // No figure in it, but words: she tells what worries her, and is asked for the figures again.
    read[worry] = text.trim().slice(0, 480);
    return { read, doubt: null };
  }
  const any = Object.keys(read).length > 0 || taken.doubt !== null;
  const skipsAll = waiting.every((f) => f.optional) && /^\s*[0०]?\s*$/u.test(text);
  if (any || skipsAll) {
    for (const f of waiting) {
      const key = answerKey(step, f.field, run.baby);
      if (f.optional && !(key in read) && taken.doubt?.field !== key && !isUnreadWeight(f, readings, text))
        read[key] = null;
    }
  }
  return { read, doubt: taken.doubt };
}

/** "30 1": a weight was told that is none, so it is asked for again, though it may be left out. */
const isUnreadWeight = (field: Field, readings: Readonly<Record<string, Reading>>, text: string): boolean => {
  const reading = readings[field.field];
  if (field.kind !== 'weight' || reading === undefined || !/[1-9१-९]/u.test(text)) return false;
  return reading.kind === 'unclear' || (reading.kind === 'read' && !reading.inRange);
};

/** Reads keys pressed on a call as the answer to the one thing asked. Empty keys are no answer. */
export function takeKeys(asking: Asking, digits: string, state: LineState, world: World): AnswerTaken {
  const { step, run } = asking;
  if (digits === '') return nothing;
  if (run.doubt !== null)
    return takeDoubt(
      run.doubt,
      readKeys(digits, { kind: 'yes-no' }, { today: world.calendar.day(world.now) }),
    );
  const field = askedNow(asking, 'voice')[0];
  const read: Record<string, AnswerScalar> = {};
  let doubt: Doubt | null = null;
  if (field !== undefined && (field.kind === 'kitchen' || field.kind === 'go-on')) {
    const value = readFoodKeys(field, digits);
    return value === undefined ? nothing : { read: { [field.field]: value }, doubt: null };
  }
  if (field !== undefined) {
    const asked: Asked = field.kind === 'words' ? { kind: 'yes-no' } : askedOf(field, run, state, world);
    const reading: Reading =
      field.optional && digits === '0'
        ? { kind: 'skipped' }
        : readKeys(digits, asked, { today: world.calendar.day(world.now) });
    if (field.kind === 'words') {
      const yes =
        reading.kind === 'read' && reading.answer.kind === 'yes-no' ? reading.answer.value : undefined;
      if (yes === undefined) return nothing;
      read[answerKey(step, field.field, run.baby)] = yes === true ? 'keys' : null;
    } else {
      const taken = take([field], { [field.field]: reading }, asking, state, world);
      Object.assign(read, taken.read);
      doubt = taken.doubt;
      if (Object.keys(read).length === 0 && doubt === null) return nothing;
    }
  }
  for (const f of missingFields(step, run)) {
    // Free words cannot be keyed in: on a call they are left out.
    if (f.kind === 'words' && !isPressed(f)) read[answerKey(step, f.field, run.baby)] = null;
  }
  return { read, doubt };
}

/** What to ask back for a weight off the baby's path: the likely slip put right, else the weight as told. */
function unlikelyWeight(
  grams: number,
  isBirth: boolean,
  index: number,
  state: LineState,
  world: World,
): number | undefined {
  const baby = state.mothers[state.writing]?.babies[index];
  const today = world.calendar.day(world.now);
  const day = isBirth || baby === undefined ? 0 : Math.max(0, ageInDays(baby.bornOn, today));
  const usable = baby?.weights.filter((w) => !w.doubtful && w.day < today).at(-1);
  const before =
    isBirth || baby === undefined
      ? undefined
      : usable !== undefined
        ? { day: ageInDays(baby.bornOn, usable.day), g: usable.grams }
        : baby.birthWeightGrams !== null
          ? { day: 0, g: baby.birthWeightGrams }
          : undefined;
  const verdict = plausibleWeight({ day, g: grams }, before, { sex: isBirth ? null : baby?.sex });
  return verdict.kind === 'plausible' ? undefined : (verdict.meantGrams ?? grams);
}

function takeDoubt(doubt: Doubt, reading: Reading): AnswerTaken {
  const yes = reading.kind === 'read' && reading.answer.kind === 'yes-no' && reading.answer.value === true;
  return yes ? { read: { [doubt.field]: doubt.value }, doubt: null } : nothing;
}

function take(
  fields: readonly Field[],
  readings: Readonly<Record<string, Reading>>,
  { step, run }: Asking,
  state: LineState,
  world: World,
): AnswerTaken {
  const read: Record<string, AnswerScalar> = {};
  let doubt: Doubt | null = null;
  for (const field of fields) {
    const reading = readings[field.field];
    const key = answerKey(step, field.field, run.baby);
    if (reading === undefined || reading.kind === 'unclear') continue;
    if (reading.kind === 'skipped') {
      if (field.optional) read[key] = null;
      continue;
    }
    if (!reading.inRange) continue;
    const value = scalarOf(reading);
    if (field.kind === 'time-of-day' && typeof value === 'number') {
      // The question says 8 to 20: a bare hour in that span is meant as it is; an earlier one is asked back as afternoon.
      if (reading.sure || (value >= 6 * 60 && value <= 20 * 60)) read[key] = value;
      else doubt ??= { field: key, value: value < 6 * 60 ? value + 12 * 60 : value };
    } else if (field.field === 'born' && typeof value === 'string') {
      // A child too old for the line is more often a slip of the year, or numbers that were no date.
      const isLikely = ageInDays(value, world.calendar.day(world.now)) <= oldestAgeDays;
      if (reading.sure && isLikely) read[key] = value;
      else doubt ??= { field: key, value };
    } else if (field.kind === 'weight' && typeof value === 'number') {
      const meant = unlikelyWeight(value, field.field === 'weight', run.baby, state, world);
      if (reading.sure && meant === undefined) read[key] = value;
      else doubt ??= { field: key, value: meant ?? value };
    } else if (reading.sure) read[key] = value;
    else doubt ??= { field: key, value };
  }
  return { read, doubt };
}

/** The answer as one value: a range of counts is kept as "8-10", both ends. */
function scalarOf(reading: Extract<Reading, { kind: 'read' }>): AnswerScalar {
  const { answer } = reading;
  switch (answer.kind) {
    case 'count':
    case 'hours':
      return typeof answer.value === 'number' ? answer.value : `${answer.value.min}-${answer.value.max}`;
    case 'yes-no':
    case 'choice':
      return answer.value;
    case 'choices':
      return answer.value.join(',');
    case 'weight':
      return answer.grams;
    case 'date':
      return answer.date;
    case 'temperature':
      return answer.celsius;
    case 'time-of-day':
      return answer.minuteOfDay;
    case 'words':
      return answer.text;
    case 'age':
      return JSON.stringify(answer.age);
    default:
      return answer satisfies never;
  }
}

/** Words of which a call asks only whether there are any. */
const isPressed = (field: Field): boolean => field.field === 'worry' || field.field === 'avoided';
