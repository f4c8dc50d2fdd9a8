import { readAnswer, readFields } from '../language/answers/index.ts';
import type { AskedField } from '../language/asked.ts';
import { allButLast } from './all-but-last.ts';
import { askedOf } from './asked-of.ts';
import { readWithOptionWords } from './choice-by-word.ts';
import type { Asking } from './dialog-steps.ts';
import type { Field } from './flow.ts';
import type { LineState } from './line.ts';
import { withoutStrayNo } from './second-thoughts.ts';
import type { AnswerParts } from './step-words.ts';
import { isSure, wordsApart } from './words-apart.ts';
import type { World } from './world.ts';

/**
 * Takes a text apart for the fields that still wait. What short texts came to is remembered, since most answers are the same few
 * figures; where the choices are her own (her babies, her kitchen) they are read afresh.
 */
export function answerParts(
  asking: Asking,
  waiting: readonly Field[],
  text: string,
  state: LineState,
  world: World,
): AnswerParts {
  const { answerSteps } = world.content;
  const take = () => takenApart(asking, waiting, text, state, world);
  if (waiting.some((f) => ownChoices.has(f.kind))) return take();
  const { flow, step } = asking;
  const today = world.calendar.day(world.now);
  const fields = waiting.map((f) => f.field).join();
  return answerSteps.recall(text, `${flow.flow}/${step.id} ${fields} ${state.language} ${today}`, take);
}

const ownChoices: ReadonlySet<Field['kind']> = new Set(['menu', 'language', 'mother', 'kitchen', 'go-on']);

function takenApart(
  { flow, step, run }: Asking,
  waiting: readonly Field[],
  text: string,
  state: LineState,
  world: World,
): AnswerParts {
  const context = { today: world.calendar.day(world.now), language: state.language };
  const words = world.content.answerWords;
  const figures = waiting.filter((f) => f.kind !== 'words');
  const stepWords = world.content.answerSteps.of(flow, step);
  const asked = figures.map(
    (f): AskedField => ({
      field: f.field,
      asked: askedOf(f, run, state, world),
      labels: stepWords.labelsOf.get(f.field) ?? [],
    }),
  );
  const readPlain = (part: string, some: readonly AskedField[]) =>
    readFields(part, some, words, context, stepWords.labels).readings;
  const readFigures = (part: string) => readWithOptionWords(part, asked, readPlain, words, context);
  const isNumber = (word: string) =>
    isSure(readAnswer(word, { kind: 'count', min: 0, max: 99 }, words, context));
  const apart =
    figures.length === waiting.length
      ? { readings: readFigures(text), words: '' }
      : wordsApart(text, figures, readFigures, stepWords.notWords, isNumber);
  const rest = apart.words;
  const readings = allButLast(text, figures, apart.readings);
  const said = readAnswer(rest, { kind: 'yes-no' }, words, context);
  const none =
    rest.trim() !== '' &&
    (/^[\s0०.,\-–।]*$/u.test(rest) ||
      said.kind === 'skipped' ||
      (said.kind === 'read' && said.answer.kind === 'yes-no' && said.answer.value === false));
  return { readings, meant: withoutStrayNo(text, figures, readings), rest, none };
}
