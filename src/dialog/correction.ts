import { readAnswer } from '../language/answers/index.ts';
import { type Mend, readMend } from '../language/mend-words.ts';
import { takeOne } from './asking.ts';
import { correctCheckIn } from './check-in-feedback.ts';
import { type DialogContext, freshRun, type Run } from './dialog-context.ts';
import { change, type Draft, note, say, writingMother } from './draft.ts';
import type { Field, Flow, Step } from './flow.ts';
import { answerKey } from './flow.ts';
import type { Answers } from './line.ts';
import { missingFields } from './machine.ts';

/** The fields that she can choose from when it is not plain which figure she means, in the order of the menu. */
const offered = ['feeds', 'gap', 'wet', 'stools', 'pain', 'grams'] as const;

/** Figures up to this may be the answer to another question with choices. */
const mostOptions = 4;

/** What she is told at the end of a check-in: then her next words can be about it. */
const ofFeedback = /^(feedback|growth|mend|talk)\./;

/** The fields of the check-in, whose answers can be corrected. */
export function corrigibleFields(flows: readonly Flow[]): readonly string[] {
  const checkIn = flows.find(({ flow }) => flow === 'check-in');
  return (checkIn?.steps ?? []).flatMap((step) => (step.ask ?? []).map(({ field }) => field));
}

/** One figure that was told, and where it is kept. */
interface Told {
  readonly key: string;
  readonly field: Field;
  readonly step: Step;
  readonly value: number;
}

/** The check-in that a correction can be about: the one she is in, or that of today, already answered. */
interface Corrigible {
  readonly flow: Flow;
  readonly answers: Answers;
  /** What is asked now, of whatever flow. */
  readonly waiting: readonly Field[];
  /** Nothing else was asked or told since. */
  readonly isLatest: boolean;
}

/**
 * A text that corrects an answer of today's check-in: "sorry 9 not 8". Where only one figure can be meant it is changed, else she is
 * asked which. Danger in the text was looked for before; a text that says anything besides is no correction.
 * @returns `taken`: it was one; `ask`: she is to be asked which; undefined: it was none
 */
export function takeCorrection(draft: Draft, body: string): 'taken' | 'ask' | undefined {
  const mend = mendOf(draft, body);
  const about = mend === undefined ? undefined : corrigible(draft);
  if (mend === undefined || about === undefined) return undefined;
  if (mend.figures.length > 2) return takeWhole(draft, mend, about) ? 'taken' : undefined;
  const { now, old } = mend;
  if (now === null || (!mend.isPlain && mend.fields.length === 0 && couldAnswer(now, about)))
    return undefined;
  const told = toldIn(about, draft).filter((t) => isNamed(t, mend) && valueOf(t.field, now) !== undefined);
  const meant = old === null ? told : told.filter((t) => isValue(t, old));
  if (!isAboutIt(mend, meant, about)) return undefined;
  const [only] = meant;
  if (only !== undefined && meant.length === 1) {
    correct(draft, only, now);
    return 'taken';
  }
  if (told.length === 0) return undefined;
  change(draft, { mending: { now, old } });
  return 'ask';
}

/** She has said which figure she means. */
export function correctWhich(draft: Draft, run: Run): undefined {
  const { mending = null } = draft.state;
  change(draft, { mending: null });
  const about = corrigible(draft);
  const name = offered[Number(run.answers['which']) - 1];
  if (mending === null || about === undefined) return undefined;
  const told = toldIn(about, draft).filter((t) => t.field.field === name);
  const had = told.filter((t) => mending.old !== null && isValue(t, mending.old));
  const meant = had.at(-1) ?? told.at(-1);
  if (meant === undefined || valueOf(meant.field, mending.now) === undefined) say(draft, 'mend.not-so');
  else correct(draft, meant, mending.now);
  return undefined;
}

/** Whether two figures, or a name, are about the check-in, and not about what is asked now or was answered since. */
function isAboutIt(mend: Mend, meant: readonly Told[], about: Corrigible): boolean {
  const { old, figures, fields, isSorry } = mend;
  if (!about.isLatest) return fields.length > 0 || (meant.length > 0 && old !== null && old > mostOptions);
  if (old === null || isSorry) return true;
  return meant.length > 0 && !figures.every((figure) => couldAnswer(figure, about));
}

function corrigible(draft: Draft): Corrigible | undefined {
  const { state, world } = draft;
  const { dialogs } = world.content;
  const flow = dialogs.flows.get('check-in');
  if (flow === undefined) return undefined;
  const standing = dialogs.standing(state.dialog);
  const waiting = standing.kind === 'asking' ? missingFields(standing.step, standing.run) : [];
  if (standing.kind === 'asking' && standing.flow.flow === flow.flow) {
    const { run } = standing;
    return run.doubt === null ? { flow, answers: run.answers, waiting, isLatest: true } : undefined;
  }
  // A question about danger, or which of them she is, is answered first.
  if (standing.kind === 'asking' && standing.flow.aside === true) return undefined;
  const last = writingMother(draft)?.checkIns.at(-1);
  if (last === undefined || last.day !== world.calendar.day(world.now)) return undefined;
  const isLatest = standing.kind === 'quiet' && state.lastSaid.some(({ key }) => ofFeedback.test(key));
  return { flow, answers: last.answers, waiting, isLatest };
}

function mendOf({ state, world }: Draft, body: string): Mend | undefined {
  const { answerWords, mendWords } = world.content;
  const context = { today: world.calendar.day(world.now), language: state.language };
  return readMend(body, mendWords, (word) => {
    const read = readAnswer(word, { kind: 'count', min: 0, max: 99 }, answerWords, context);
    const isFigure = read.kind === 'read' && read.sure && read.answer.kind === 'count';
    return isFigure && typeof read.answer.value === 'number' ? read.answer.value : undefined;
  });
}

/** Every figure of the check-in that was told. */
function toldIn({ flow, answers }: Corrigible, draft: Draft): readonly Told[] {
  const babies = Math.max(1, writingMother(draft)?.babies.length ?? 1);
  return flow.steps.flatMap((step) =>
    (step.ask ?? []).flatMap((field) =>
      Array.from({ length: step.each === 'baby' ? babies : 1 }, (_, baby) => {
        const key = answerKey(step, field.field, baby);
        const value = answers[key];
        return typeof value === 'number' ? [{ key, field, step, value }] : [];
      }).flat(),
    ),
  );
}

function isNamed({ field }: Told, { fields }: Mend): boolean {
  return fields.length === 0 || fields.includes(field.field);
}

function isValue({ field, value }: Told, figure: number): boolean {
  return value === figure || (field.kind === 'weight' && value === Math.round(figure * 1000));
}

/** A figure as the answer of a field; undefined where it cannot be one. Weights in grams, or in kilos up to 30. */
function valueOf(field: Field, figure: number): number | undefined {
  const { kind, min = 0, max = Infinity, options = 0 } = field;
  if (kind === 'weight') {
    const grams = figure <= 30 ? Math.round(figure * 1000) : figure;
    return Number.isInteger(grams) && grams >= min && grams <= max ? grams : undefined;
  }
  if (!Number.isInteger(figure)) return undefined;
  if (kind === 'choice') return figure >= 1 && figure <= options ? figure : undefined;
  const isCount = kind === 'count' || kind === 'hours';
  return isCount && figure >= min && figure <= max ? figure : undefined;
}

/** Whether a lone figure could be the answer to what is asked now: "no 2" to a question with three choices. */
function couldAnswer(figure: number, { waiting }: Corrigible): boolean {
  return waiting.some((f) =>
    f.kind === 'yes-no' ? figure === 1 || figure === 2 : f.kind !== 'words' && isPossible(f, figure),
  );
}

function isPossible(field: Field, figure: number): boolean {
  const isKnown = ['count', 'hours', 'choice', 'weight'].includes(field.kind);
  return !isKnown || valueOf(field, figure) !== undefined;
}

/** "sorry 9 3 6 4": the first question answered anew. */
function takeWhole(draft: Draft, { figures }: Mend, about: Corrigible): boolean {
  const { flow, answers, waiting } = about;
  const step = flow.steps.find((s) => (s.ask ?? []).length === figures.length);
  const isAskedNow = step?.ask?.some((f) => waiting.includes(f)) === true;
  if (step === undefined || isAskedNow || (writingMother(draft)?.babies.length ?? 1) > 1) return false;
  const asking = { kind: 'asking', flow, step, run: freshRun } as const;
  const { read, doubt } = takeOne(asking, figures.join(' '), draft.state, draft.world);
  const told = toldIn(about, draft).filter((t) => t.step === step);
  if (doubt !== null || told.length < figures.length) return false;
  const changed = told.filter((t) => typeof read[t.key] === 'number' && read[t.key] !== answers[t.key]);
  if (changed.length === 0) return false;
  correctAll(
    draft,
    changed.map((told) => ({ told, to: Number(read[told.key]) })),
  );
  return true;
}

function correct(draft: Draft, told: Told, figure: number): void {
  correctAll(draft, [{ told, to: valueOf(told.field, figure) ?? figure }]);
}

/** Changes the answers, with both figures in the journal; then asks on, or gives the feedback anew. */
function correctAll(draft: Draft, changes: readonly { readonly told: Told; readonly to: number }[]): void {
  const day = draft.world.calendar.day(draft.world.now);
  for (const { told, to } of changes) {
    note(draft, 'corrected', { mother: draft.state.writing, day, field: told.key, from: told.value, to });
    say(draft, 'mend.done', {
      what: nameOf(draft, told),
      from: figureWords(told, told.value),
      to: figureWords(told, to),
    });
  }
  const values = Object.fromEntries(changes.map(({ told, to }) => [told.key, to]));
  const { dialog } = draft.state;
  const standing = draft.world.content.dialogs.standing(dialog);
  if (dialog !== null && standing.kind === 'asking' && standing.flow.flow === 'check-in') {
    const context = dialog.context as DialogContext;
    const talk = { ...context.talk, answers: { ...context.talk.answers, ...values } };
    change(draft, { dialog: { ...dialog, context: { ...context, talk }, touchedAt: draft.world.now } });
    return;
  }
  const what = (language: string) =>
    changes
      .map(
        ({ told, to }) =>
          `${nameOf(draft, told, language)} ${figureWords(told, told.value)} > ${figureWords(told, to)}`,
      )
      .join(', ');
  correctCheckIn(draft, values, what);
}

function nameOf({ state, world, channel }: Draft, { field }: Told, language = state.language): string {
  return world.content.wording.say(`mend.field.${field.field}`, {}, language, channel);
}

function figureWords({ field }: Told, value: number): string {
  return field.kind === 'weight' ? (value / 1000).toFixed(2) : String(value);
}
