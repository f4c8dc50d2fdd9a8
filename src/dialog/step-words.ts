import { compileFieldLabels, compileOptionWords, type FieldLabels } from '../language/answers/index.ts';
import type { OptionWords, Reading } from '../language/asked.ts';
import { type Recall, recallTexts } from '../language/remembered.ts';
import type { Wording } from '../language/wording.ts';
import type { Field, Flow, Step } from './flow.ts';

/** The words that may stand in an answer to a step, compiled once: people answer far more often than words change. */
export interface StepWords {
  readonly labels: FieldLabels;
  /** Words beside the figures that are never a name or a worry. */
  readonly notWords: ReadonlySet<string>;
  /** For each field, the words that name it. */
  readonly labelsOf: ReadonlyMap<string, readonly string[]>;
}

/** One text, taken apart into what it says of each field and the words beside. Nothing in it is hers but the text. */
export interface AnswerParts {
  /** What stands in the text for each figure that waits, by field name. */
  readonly readings: Readonly<Record<string, Reading>>;
  /** The same, where a "no" in a sentence is no count. */
  readonly meant: Readonly<Record<string, Reading>>;
  /** The words beside the figures; '' when there are none. */
  readonly rest: string;
  /** The words beside say that there is nothing: "no", "0", "-". */
  readonly none: boolean;
}

export interface AnswerSteps {
  of(flow: Flow, step: Step): StepWords;
  /** Words that may stand for each option of a choice, in one language; none where the wording has none. */
  options(field: Field, language: string): OptionWords;
  /** What short texts came to, of whoever sent them. */
  readonly recall: Recall<AnswerParts>;
}

/** The words of a text that is a list with commas, in one language; none where there is no such text. */
export function listed(wording: Wording, key: string, language: string): readonly string[] {
  return wording.has(key, language) ? wording.say(key, {}, language, 'text').split(/\s*,\s*/u) : [];
}

/** Labels of all languages count at once, since people mix them; options are those of her language, in any of its scripts. */
export function openAnswerSteps(
  flows: readonly Flow[],
  wording: Wording,
  languages: readonly string[],
): AnswerSteps {
  const everywhere = (key: string) => languages.flatMap((l) => listed(wording, key, l));
  const steps = new Map<string, StepWords>();
  const options = new Map<string, OptionWords>();
  const noNames = everywhere('label.no-name');
  const optionWords = (field: Field) =>
    Array.from({ length: field.options ?? 0 }, (_, i) => everywhere(`option.${field.field}.${i + 1}`)).flat();
  // Two languages that are one in two scripts share their words: people switch letters more often than languages.
  const kinOf = (language: string) => languages.filter((l) => l.split('-')[0] === language.split('-')[0]);
  for (const flow of flows) {
    for (const step of flow.steps) {
      const fields = (step.ask ?? []).map(({ field }) => ({ field, labels: everywhere(`label.${field}`) }));
      steps.set(`${flow.flow}/${step.id}`, {
        labels: compileFieldLabels(fields),
        notWords: new Set([
          ...fields.flatMap((f) => f.labels),
          ...(step.ask ?? []).flatMap(optionWords).flatMap((option) => option.split(' ')),
          ...noNames,
        ]),
        labelsOf: new Map(fields.map((f) => [f.field, f.labels])),
      });
      for (const field of step.ask ?? []) {
        for (const language of languages) {
          const words = Array.from({ length: field.options ?? 0 }, (_, i) =>
            kinOf(language).flatMap((l) => listed(wording, `option.${field.field}.${i + 1}`, l)),
          );
          options.set(`${field.field}/${field.options}/${language}`, compileOptionWords(words));
        }
      }
    }
  }
  const noOptions = compileOptionWords([]);
  const none: StepWords = { labels: compileFieldLabels([]), notWords: new Set(noNames), labelsOf: new Map() };
  return {
    of: (flow, step) => steps.get(`${flow.flow}/${step.id}`) ?? none,
    options: (field, language) => options.get(`${field.field}/${field.options}/${language}`) ?? noOptions,
    recall: recallTexts(),
  };
}
