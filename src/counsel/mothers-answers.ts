import type { Alert, AnswerScalar, LineState, Say } from '../dialog/line.ts';
import type { World } from '../dialog/world.ts';
import { alertValues } from './alert-words.ts';

/** Her answers to whether the breast is softer after a feed, as the words are numbered. */
const softness: ReadonlyMap<AnswerScalar, number> = new Map<AnswerScalar, number>([
  [true, 1],
  [false, 2],
  ['unsure', 3],
]);

/** Days of answers in one text to a counsellor. */
const daysShown = 2;

/** What the mother of an alert last answered, for a text to a counsellor: the last check-ins, the last weight, her own words. */
export function mothersAnswers(
  state: LineState,
  alert: Alert,
  world: World,
  language: string,
): readonly Say[] {
  const { wording } = world.content;
  const told = (key: string) => wording.say(`counsellor.answers.${key}`, {}, language, 'text');
  const mother = state.mothers[alert.mother];
  const checkIns = mother?.checkIns ?? [];
  const days = checkIns.slice(-daysShown).flatMap(({ day, answers }): readonly Say[] =>
    (mother?.babies ?? []).map((_, baby) => {
      const answer = (field: string) => answers[`${field}#${baby}`] ?? answers[field] ?? null;
      const figure = (field: string) => String(answer(field) ?? told('unknown'));
      const pain = answer('pain');
      const soft = softness.get(answer('soft'));
      return {
        key: 'counsellor.answers.day',
        values: {
          day: shortDay(day),
          feeds: figure('feeds'),
          gap: figure('gap'),
          wet: figure('wet'),
          stools: figure('stools'),
          pain: told(typeof pain === 'number' && pain >= 1 && pain <= 3 ? `pain.${pain}` : 'unknown'),
          soft: told(soft === undefined ? 'unknown' : `soft.${soft}`),
        },
      };
    }),
  );
  const weights = (mother?.babies ?? []).flatMap((baby): readonly Say[] => {
    const last = baby.weights.at(-1);
    if (last === undefined) return [];
    const { day, grams } = last;
    const values = { day: shortDay(day), kilos: Math.floor(grams / 1000), grams: grams % 1000 };
    return [{ key: 'counsellor.answers.weight', values }];
  });
  const words: readonly Say[] =
    alert.words === ''
      ? []
      : [{ key: 'counsellor.answers.words', values: { words: [...alert.words].slice(0, 160).join('') } }];
  return [
    { key: 'counsellor.answers.head', values: alertValues(state, alert, world, language) },
    ...(days.length === 0 ? [{ key: 'counsellor.answers.none' }] : days),
    ...weights,
    ...words,
  ];
}

/** "2026-03-05" as "5-3": short, and read alike in every language of the line. */
export function shortDay(day: string): string {
  return `${Number(day.slice(8, 10))}-${Number(day.slice(5, 7))}`;
}
