/** The door of answer reading. */
export { type AnswerWords, compileAnswerWords } from '../answer-words.ts';
export { readAnswer } from './read-answer.ts';
export { readFields } from './read-fields.ts';
export { readKeys } from './read-keys.ts';
export { compileFieldLabels, type FieldLabels } from './fields-by-label.ts';
export { compileOptionWords } from './read-choice.ts';
