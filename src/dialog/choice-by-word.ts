import type { AnswerWords } from '../language/answer-words.ts';
import { readAnswer } from '../language/answers/index.ts';
import type { AskedField, FieldsReading, Reading, ReadingContext } from '../language/asked.ts';
import { isSure } from './words-apart.ts';

type Readings = FieldsReading['readings'];

/** Longest run of words that is tried as the name of one option: "aadhe se zyada din". */
const longestOption = 4;

/**
 * Reads figures of which a choice is told by its word beside other figures: "girl 2.7", "sava teen kilo ladki". Each word that
 * names an option of one choice only is taken out, and the rest is read without it. A number word is never an option here.
 * @param read how the given fields are read from a text
 * @returns the plain reading when no such word makes more of it
 */
export function readWithOptionWords(
  text: string,
  asked: readonly AskedField[],
  read: (text: string, asked: readonly AskedField[]) => Readings,
  words: AnswerWords,
  context: ReadingContext,
): Readings {
  const plain = read(text, asked);
  const choices = asked.filter((a) => a.asked.kind === 'choice');
  if (choices.length === 0 || asked.length < 2 || sureIn(plain) === asked.length) return plain;
  const tokens = text.trim().split(/[\s,;]+/u);
  const named: Record<string, Reading> = {};
  const rest: string[] = [];
  for (let at = 0; at < tokens.length; ) {
    const found = optionAt(tokens, at, choices, words, context);
    if (found === undefined || found.field in named) rest.push(tokens[at] ?? '');
    else named[found.field] = found.reading;
    at += found?.length ?? 1;
  }
  if (Object.keys(named).length === 0) return plain;
  const open = asked.filter((a) => !(a.field in named));
  const others = open.length === 0 || !/[\p{L}\p{N}]/u.test(rest.join(' ')) ? {} : read(rest.join(' '), open);
  const readings = { ...others, ...named };
  return sureIn(readings) > sureIn(plain) ? readings : plain;
}

function optionAt(
  tokens: readonly string[],
  at: number,
  choices: readonly AskedField[],
  words: AnswerWords,
  context: ReadingContext,
): { readonly field: string; readonly reading: Reading; readonly length: number } | undefined {
  for (let length = Math.min(longestOption, tokens.length - at); length > 0; length--) {
    const run = tokens.slice(at, at + length).join(' ');
    if (/[\d०-९]/u.test(run) || run.length < 3) continue;
    const count = readAnswer(run, { kind: 'count', min: 0, max: 99 }, words, context);
    // A "no" reads as none and may be of an option: "dukhat nahi".
    if (count.kind === 'read' && count.answer.kind === 'count' && count.answer.value !== 0) continue;
    const meant = choices.flatMap(({ field, asked }) => {
      const reading = readAnswer(run, asked, words, context);
      return isSure(reading) ? [{ field, reading, length }] : [];
    });
    if (meant.length === 1) return meant[0];
  }
  return undefined;
}

function sureIn(readings: Readings): number {
  return Object.values(readings).filter(isSure).length;
}
