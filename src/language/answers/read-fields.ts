import type { AnswerWords } from '../answer-words.ts';
import type { Asked, AskedField, FieldsReading, Reading, ReadingContext } from '../asked.ts';
import { type Lexicon, lexicon } from './lexicon.ts';
import { normalise, type Token, tokenise } from './normalise.ts';
import { readAnswer } from './read-answer.ts';
import { unclear } from './reading.ts';
import { type Item, scan, type Wanted } from './scan.ts';

const wanted: Wanted = {
  numbers: { decimals: true },
  kinds: ['reply', 'none', 'mark', 'unit'],
  units: new Set(['kilogram', 'gram', 'pav', 'pound', 'ounce']),
  marks: new Set(['to', 'or', 'about', 'times', 'and', 'filler', 'per-day']),
};

interface Label {
  readonly field: number;
  readonly at: number;
  readonly end: number;
}

function labelsIn(tokens: readonly Token[], fields: readonly AskedField[]): readonly Label[] {
  const table: Lexicon<number> = lexicon(
    fields.flatMap(({ labels }, i) => labels.map((label) => [label, i] as const)),
    { typos: true },
  );
  const found: Label[] = [];
  for (let at = 0; at < tokens.length; ) {
    const match = tokens[at]?.kind === 'word' ? table.match(tokens, at) : undefined;
    if (match !== undefined) {
      found.push({
        field: match.meaning,
        at: tokens[at]?.at ?? 0,
        end: tokens[at + match.length - 1]?.end ?? 0,
      });
    }
    at += match?.length ?? 1;
  }
  return found;
}

/** Whether an item can be the answer to a field by itself. */
const isValue = (item: Item): boolean =>
  item.kind === 'number' ||
  (item.kind === 'reply' && item.name !== 'weak-yes') ||
  (item.kind === 'sign' && item.text === '?');

/** Values in order, as pieces of the text. A dash joins two numbers to a range unless dashes are all that parts them. */
function valuesIn(text: string, words: AnswerWords): readonly string[] {
  const items = scan(text, words, wanted);
  const values: { at: number; end: number }[] = [];
  for (let i = 0; i < items.length; i += 1) {
    const item = items[i];
    if (item === undefined) break;
    if (item.kind === 'unit') {
      const last = values.at(-1);
      if (last !== undefined) last.end = item.end;
      continue;
    }
    if (!isValue(item)) continue;
    const [join, next] = [items[i + 1], items[i + 2]];
    const joins =
      (join?.kind === 'sign' && join.text === '-') ||
      (join?.kind === 'mark' && (join.name === 'to' || join.name === 'or'));
    if (item.kind === 'number' && joins && next?.kind === 'number') {
      values.push({ at: item.at, end: next.end });
      i += 2;
    } else values.push({ at: item.at, end: item.end });
  }
  return values.map(({ at, end }) => text.slice(at, end));
}

const isSingleDigit = (asked: Asked): boolean => asked.kind === 'choice' && asked.options <= 9;

const doubted = (reading: Reading): Reading =>
  reading.kind === 'read' ? { ...reading, sure: false } : reading;

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
  const joined = valuesIn(text, words);
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

/** Pieces of the text for the labels: after each label, or before it when the text begins with a value. */
function byLabel(
  text: string,
  labels: readonly Label[],
  fields: readonly AskedField[],
  words: AnswerWords,
  context: ReadingContext,
): FieldsReading {
  const first = labels[0]?.at ?? 0;
  const lead = valuesIn(text.slice(0, first), words);
  const tail = valuesIn(text.slice(labels.at(-1)?.end ?? 0), words);
  const labelLast = lead.length > 0 && tail.length === 0;
  const readings: Record<string, Reading> = {};
  const twice = new Set<string>();
  const give = (field: AskedField | undefined, piece: string): void => {
    if (field === undefined || piece.trim() === '') return;
    const reading = readAnswer(
      piece.replace(/[\s,;:=.-]+$/u, '').replace(/^[\s,;:=.]+/u, ''),
      field.asked,
      words,
      context,
    );
    if (readings[field.field] !== undefined) twice.add(field.field);
    readings[field.field] = reading;
  };
  labels.forEach(({ field, at, end }, i) => {
    const piece = labelLast
      ? text.slice(labels[i - 1]?.end ?? 0, at)
      : text.slice(end, labels[i + 1]?.at ?? text.length);
    give(fields[field], piece);
  });
  for (const field of twice) readings[field] = unclear;
  const unlabelled = labelLast ? [] : lead;
  const open = fields.filter(({ field }) => readings[field] === undefined);
  const fits = unlabelled.length > 0 && unlabelled.length <= open.length;
  if (fits) unlabelled.forEach((piece, i) => give(open[i], piece));
  return { readings, rest: unlabelled.length > 0 && !fits ? text.slice(0, first) : '' };
}

/**
 * Several fields in one text, by label ('feeds 9 wet 6', '9 feed 6 susu') or in order ('9 6 4 0'). One value alone is the
 * first field's. Fewer values than fields are doubtful; more are left in `rest` with the first field unclear.
 */
export function readFields(
  text: string,
  fields: readonly AskedField[],
  words: AnswerWords,
  context: ReadingContext,
): FieldsReading {
  const [first] = fields;
  if (first === undefined) return { readings: {}, rest: text };
  if (fields.length === 1)
    return { readings: { [first.field]: readAnswer(text, first.asked, words, context) }, rest: '' };
  const plain = normalise(text);
  const labels = labelsIn(tokenise(plain), fields);
  if (labels.length > 0) {
    const labelled = byLabel(plain, labels, fields, words, context);
    // Labels whose words were only part of a sentence ('feeds' in 'he feeds 9 times 6 wet') leave it to the order.
    const told = Object.values(labelled.readings).some((reading) => reading.kind !== 'unclear');
    if (told || new Set(labels.map((label) => label.field)).size < labels.length) return labelled;
  }
  return inOrder(plain, fields, words, context) ?? { readings: { [first.field]: unclear }, rest: text };
}
