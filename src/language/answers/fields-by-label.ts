import type { AnswerWords } from '../answer-words.ts';
import type { AskedField, FieldsReading, Reading, ReadingContext } from '../asked.ts';
import { fieldValues } from './field-values.ts';
import { type Lexicon, lexicon } from './lexicon.ts';
import { tokenise } from './normalise.ts';
import { readAnswer } from './read-answer.ts';
import { unclear } from './reading.ts';

/** Where a field is named in a text. */
export interface Label {
  readonly field: number;
  readonly at: number;
  readonly end: number;
}

/** The labels of some fields, compiled once: making the table costs many times what a look-up does. */
export interface FieldLabels {
  /** Those of the given fields in a normalised text, however spelt; labels of other fields are plain words. */
  in(text: string, fields: readonly AskedField[]): readonly Label[];
}

export function compileFieldLabels(fields: readonly Pick<AskedField, 'field' | 'labels'>[]): FieldLabels {
  const table: Lexicon<string> = lexicon(
    fields.flatMap(({ field, labels }) => labels.map((label) => [label, field] as const)),
    { typos: true },
  );
  return {
    in: (text, asked) => {
      if (!/[\p{L}\p{M}]/u.test(text)) return []; // A label is a word.
      const tokens = tokenise(text);
      const found: Label[] = [];
      for (let at = 0; at < tokens.length; ) {
        const match = tokens[at]?.kind === 'word' ? table.match(tokens, at) : undefined;
        const field = match === undefined ? -1 : asked.findIndex((f) => f.field === match.meaning);
        if (match !== undefined && field !== -1) {
          const end = tokens[at + match.length - 1]?.end ?? 0;
          found.push({ field, at: tokens[at]?.at ?? 0, end });
        }
        at += match?.length ?? 1;
      }
      return found;
    },
  };
}

/** The piece of text for each label, and the values that no label takes. */
interface Shares {
  readonly pieces: readonly string[];
  readonly loose: readonly string[];
}

/** 'feeds 9 wet 6 no potty': what stands after each label is its own, but a 'no' goes to the label that has nothing. */
function labelFirst(text: string, labels: readonly Label[], words: AnswerWords): Shares {
  const pieces = [text.slice(0, labels[0]?.at ?? 0)];
  labels.forEach(({ end }, i) => pieces.push(text.slice(end, labels[i + 1]?.at ?? text.length)));
  for (let i = 1; i < pieces.length; i += 1) {
    if (fieldValues(pieces[i] ?? '', words).length > 0) continue;
    const before = pieces[i - 1] ?? '';
    const last = fieldValues(before, words).at(-1);
    if (last === undefined || last.isNumber || !before.trimEnd().endsWith(last.text)) continue;
    pieces[i] = last.text;
    pieces[i - 1] = before.slice(0, before.lastIndexOf(last.text));
  }
  const [lead = '', ...own] = pieces;
  return { pieces: own, loose: fieldValues(lead, words).map((value) => value.text) };
}

/** '9 feed 6 susu', '9 6 4 no pain': what stands before each label is its own; of several values the last. */
function labelLast(text: string, labels: readonly Label[], words: AnswerWords): Shares {
  const loose: string[] = [];
  const pieces = labels.map(({ at }, i) => {
    const piece = text.slice(labels[i - 1]?.end ?? 0, at);
    const values = fieldValues(piece, words);
    const last = values.at(-1);
    if (values.length < 2 || last === undefined) return piece;
    loose.push(...values.slice(0, -1).map((value) => value.text));
    return last.text;
  });
  return { pieces, loose };
}

/**
 * Reads a text in which fields are named. Values without a label go in order to the fields that are still open; when there are
 * more of them than fields they are left in `rest`. A field told twice is unclear.
 */
export function fieldsByLabel(
  text: string,
  labels: readonly Label[],
  fields: readonly AskedField[],
  words: AnswerWords,
  context: ReadingContext,
): FieldsReading {
  const lead = fieldValues(text.slice(0, labels[0]?.at ?? 0), words);
  const tail = fieldValues(text.slice(labels.at(-1)?.end ?? 0), words);
  const before = lead.length > 0 && tail.length === 0;
  // 'feeds 9 wet 6 no potty' ends with a label too, but does not begin with a value.
  const { pieces, loose } = before ? labelLast(text, labels, words) : labelFirst(text, labels, words);
  const readings: Record<string, Reading> = {};
  const give = (field: AskedField | undefined, piece: string): void => {
    const own = piece.replace(/[\s,;:=.-]+$/u, '').replace(/^[\s,;:=]+|^\.\s+/u, '');
    if (field === undefined || own === '') return;
    const reading = readAnswer(own, field.asked, words, context);
    readings[field.field] = readings[field.field] === undefined ? named(reading, own) : unclear;
  };
  labels.forEach(({ field }, i) => give(fields[field], pieces[i] ?? ''));
  const open = fields.filter(({ field }) => readings[field] === undefined);
  const fits = loose.length <= open.length;
  if (fits) loose.forEach((piece, i) => give(open[i], piece));
  return { readings, rest: fits ? '' : loose.join(' ') };
}

/** 'No' alone may be a slip for 'nau', nine. After a label it is none. */
function named(reading: Reading, piece: string): Reading {
  const isNone =
    reading.kind === 'read' &&
    reading.answer.kind === 'count' &&
    reading.answer.value === 0 &&
    !/\d/u.test(piece);
  return isNone ? { ...reading, sure: true } : reading;
}
