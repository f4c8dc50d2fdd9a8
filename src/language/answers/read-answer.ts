import type { AnswerWords } from '../answer-words.ts';
import type { Asked, Reading, ReadingContext } from '../asked.ts';
import { readAge } from './read-age.ts';
import { readChoice, readChoices } from './read-choice.ts';
import { readCount } from './read-count.ts';
import { readDate } from './read-date.ts';
import { readTemperature } from './read-temperature.ts';
import { readTimeOfDay } from './read-time.ts';
import { readWeight } from './read-weight.ts';
import { readWords } from './read-words.ts';
import { readYesNo } from './read-yes-no.ts';

/**
 * Reads one answer to one question, in every language at once. Never throws. A doubtful reading comes back with
 * `sure: false`; what cannot be told apart is `unclear`; 'I don't know' and 'skip' are `skipped`.
 */
export function readAnswer(text: string, asked: Asked, words: AnswerWords, context: ReadingContext): Reading {
  switch (asked.kind) {
    case 'count':
    case 'hours':
      return readCount(text, asked, words);
    case 'yes-no':
      return readYesNo(text, asked, words);
    case 'choice':
      return readChoice(text, asked, words);
    case 'choices':
      return readChoices(text, asked, words);
    case 'weight':
      return readWeight(text, asked, words);
    case 'date':
      return readDate(text, asked, words, context);
    case 'age':
      return readAge(text, words);
    case 'temperature':
      return readTemperature(text, words);
    case 'time-of-day':
      return readTimeOfDay(text, words);
    case 'words':
      return readWords(text, asked, words);
    default:
      return asked satisfies never;
  }
}
