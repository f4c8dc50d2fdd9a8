import type { Asked } from '../language/asked.ts';
import type { Run } from './dialog-context.ts';
import type { Field } from './flow.ts';
import { menuNames } from './food-menus.ts';
import type { LineState } from './line.ts';
import type { World } from './world.ts';

/** What a reader must know of a field to read its answer: its kind, its range, and words that stand for its options. */
export function askedOf(field: Field, run: Run, state: LineState, world: World): Asked {
  const { wording, languages } = world.content;
  switch (field.kind) {
    case 'count':
    case 'hours':
      return { kind: field.kind, min: field.min ?? 0, max: field.max ?? 99 };
    case 'weight':
      return { kind: 'weight', minGrams: field.min ?? 500, maxGrams: field.max ?? 15_000 };
    case 'yes-no':
      return { kind: 'yes-no', unsure: field.unsure ?? false };
    case 'choice':
      return {
        kind: 'choice',
        options: field.options ?? 9,
        words: world.content.answerSteps.options(field, state.language),
      };
    case 'choices':
      return {
        kind: 'choices',
        options: field.options ?? 9,
        words: world.content.answerSteps.options(field, state.language),
      };
    case 'menu': {
      const names = menuNames(field, run, state, world, 'text').map((name) => [name]);
      return { kind: field.several === true ? 'choices' : 'choice', options: names.length, words: names };
    }
    case 'kitchen':
    case 'go-on':
      return { kind: 'words', maxLength: 160 };
    case 'date':
      return { kind: 'date', past: field.past ?? true };
    case 'time-of-day':
      return { kind: 'time-of-day' };
    case 'words':
      return { kind: 'words', maxLength: field.max ?? 160 };
    case 'language':
      return {
        kind: 'choice',
        options: languages.length,
        words: languages.map((l) => [
          wording.say('language.name', {}, l, 'text'),
          ...wording.say('language.also', {}, l, 'text').split(/\s*,\s*/u),
        ]),
      };
    case 'mother':
      return {
        kind: 'choice',
        options: state.mothers.length,
        words: state.mothers.map((m) => (m.name === null ? [] : [m.name])),
      };
    default:
      return field.kind satisfies never;
  }
}
