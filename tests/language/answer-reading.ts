import { readAnswer } from '../../src/language/answers/index.ts';
import type { AnswerValue, Asked, Reading } from '../../src/language/asked.ts';
import { loadAnswerWords } from '../../src/programme/load-content.ts';

/** The words of every language of the project. */
export const words = loadAnswerWords();

/** A Tuesday, the day on which the tests are read. */
export const today = '2026-03-10';

export const asked = {
  count: { kind: 'count', min: 0, max: 40 },
  hours: { kind: 'hours', min: 0, max: 48 },
  yesNo: { kind: 'yes-no' },
  choice: { kind: 'choice', options: 4 },
  choices: { kind: 'choices', options: 7 },
  weight: { kind: 'weight', minGrams: 300, maxGrams: 20_000 },
  pastDate: { kind: 'date', past: true },
  date: { kind: 'date', past: false },
  age: { kind: 'age' },
  temperature: { kind: 'temperature' },
  time: { kind: 'time-of-day' },
  words: { kind: 'words', maxLength: 40 },
} as const satisfies Record<string, Asked>;

export const read = (text: string, question: Asked, day: string = today): Reading =>
  readAnswer(text, question, words, { today: day });

/** What stands in an answer beside its kind. */
export const bare = (answer: AnswerValue): unknown =>
  Object.entries(answer).find(([name]) => name !== 'kind')?.[1];

/** The bare value, with `?` after a doubtful one; 'unclear' and 'skipped' as they are. */
export function told(text: string, question: Asked, day: string = today): unknown {
  const reading = read(text, question, day);
  if (reading.kind !== 'read') return reading.kind;
  const value = bare(reading.answer);
  if (!reading.sure) return { doubtful: value };
  return reading.inRange ? value : { outOfRange: value };
}
