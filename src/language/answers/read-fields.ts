import type { AnswerWords } from '../answer-words.ts';
import type { Asked, AskedField, FieldsReading, Reading, ReadingContext } from '../asked.ts';
import { fieldValues } from './field-values.ts';
import { compileFieldLabels, type FieldLabels, fieldsByLabel } from './fields-by-label.ts';
import { normalise } from './normalise.ts';
import { readAnswer } from './read-answer.ts';
import { unclear } from './reading.ts';

const isSingleDigit = (asked: Asked): boolean => asked.kind === 'choice' && asked.options <= 9;

const doubted = (reading: Reading): Reading =>
  reading.kind === 'read' ? { ...reading, sure: false } : reading;

/** '10:30' among other figures is one answer: written as '1030' it stays in one piece. */
function clockTimesWhole(text: string, fields: readonly AskedField[]): string {
  return fields.some(({ asked }) => asked.kind === 'time-of-day')
    ? text.replace(/(?<!\d)(\d{1,2}):([0-5]\d)(?!\d)/gu, (_, h: string, m: string) => h.padStart(2, '0') + m)
    : text;
}

/** Reads what stands in order: one piece a field. Undefined when the pieces do not fit the fields. */
function inOrder(
  text: string,
  fields: readonly AskedField[],
  words: AnswerWords,
  context: ReadingContext,
): FieldsReading | undefined {
  const read = (pieces: readonly string[], sure: boolean): FieldsReading => {
    const readings: Record<string, Reading> = {};
    fields.forEach(({ field, asked }, i) => {
      const piece = pieces[i];
      if (piece === undefined) return;
      const reading: Reading =
        piece.trim() === '?' ? { kind: 'skipped' } : readAnswer(piece, asked, words, context);
      readings[field] = sure ? reading : doubted(reading);
    });
    return { readings, rest: '' };
  };
  const lines = text
    .split(/[\n;]|,(?=\s)/u)
    .map((line) => line.trim())
    .filter((line) => line !== '');
  if (lines.length === fields.length) {
    const byLine = read(lines, true);
    if (Object.values(byLine.readings).every((reading) => reading.kind !== 'unclear')) return byLine;
  }
  const onlyDashes = /^\s*\d+(?:\s*([-./*])\s*\d+)(?:\s*\1\s*\d+)*\s*$/u.test(text);
  const apart = onlyDashes ? (text.match(/\d+/gu) ?? []) : [];
  const joined = fieldValues(text, words).map((value) => value.text);
  if (onlyDashes && apart.length === fields.length) {
    const [first, second] = apart.map(Number);
    return read(apart, apart.length > 2 || (first ?? 0) >= (second ?? 0));
  }
  if (joined.length === fields.length) return read(joined, true);
  const [only] = joined;
  if (joined.length === 1 && only !== undefined) {
    if (
      /^\d+$/u.test(only) &&
      only.length === fields.length &&
      fields.every(({ asked }) => isSingleDigit(asked))
    ) {
      return read([...only], true);
    }
    return read([text], true);
  }
  return joined.length > 1 && joined.length < fields.length ? read(joined, false) : undefined;
}

/**
 * Several fields in one text, by label ('feeds 9 wet 6', '9 feed 6 susu') or in order ('9 6 4 0'). One value alone is the
 * first field's. Fewer values than fields are doubtful; more are left in `rest` with the first field unclear.
 * @param fieldLabels compiled once for a step that is asked often
 */
export function readFields(
  text: string,
  fields: readonly AskedField[],
  words: AnswerWords,
  context: ReadingContext,
  fieldLabels: FieldLabels = compileFieldLabels(fields),
): FieldsReading {
  const [first] = fields;
  if (first === undefined) return { readings: {}, rest: text };
  if (fields.length === 1)
    return { readings: { [first.field]: readAnswer(text, first.asked, words, context) }, rest: '' };
  const plain = normalise(text);
  const labels = fieldLabels.in(plain, fields);
  if (labels.length > 0) {
    const labelled = fieldsByLabel(plain, labels, fields, words, context);
    // Labels whose words were only part of a sentence ('feeds' in 'he feeds 9 times 6 wet') leave it to the order.
    const told = Object.values(labelled.readings).some((reading) => reading.kind !== 'unclear');
    if (told || new Set(labels.map((label) => label.field)).size < labels.length) return labelled;
  }
  return (
    inOrder(clockTimesWhole(plain, fields), fields, words, context) ?? {
      readings: { [first.field]: unclear },
      rest: text,
    }
  );
}
