import type { AnswerWords } from '../answer-words.ts';
import type { Asked, OptionWords, Reading } from '../asked.ts';
import { type Lexicon, lexicon } from './lexicon.ts';
import { normalise, tokenise } from './normalise.ts';
import { readAs, said, skipped, unclear, unknownWords } from './reading.ts';
import { type Item, scan, type Wanted } from './scan.ts';

const wanted: Wanted = {
  kinds: ['none', 'reply', 'mark', 'ordinal'],
  marks: new Set(['and', 'to', 'or', 'all', 'but', 'filler', 'about', 'day-of-month', 'last', 'next']),
};

/** Compiles the words of a choice once: making the table costs many times what a look-up does. */
export function compileOptionWords(optionWords: readonly (readonly string[])[]): OptionWords {
  const table: Lexicon<number> = lexicon(
    optionWords.flatMap((list, i) => list.map((word) => [word, i + 1] as const)),
    { typos: true },
  );
  return { named: (text) => namedIn(text, table) };
}

/** The options named in a text by the words that the question gave for them. */
function namedOptions(
  text: string,
  words: OptionWords | readonly (readonly string[])[] | undefined,
): readonly number[] {
  if (words === undefined) return [];
  return ('named' in words ? words : compileOptionWords(words)).named(text);
}

function namedIn(text: string, table: Lexicon<number>): readonly number[] {
  const tokens = tokenise(normalise(text));
  const found = new Set<number>();
  for (let at = 0; at < tokens.length; ) {
    const match = table.match(tokens, at);
    if (match !== undefined) found.add(match.meaning);
    at += match?.length ?? 1;
  }
  return [...found].sort((a, b) => a - b);
}

/** The numbers that may be options. After 'the 3rd', a word that only may be a number ('one') is none. */
function optionNumbers(items: readonly Item[]): readonly Extract<Item, { kind: 'number' | 'ordinal' }>[] {
  const numbers = items.filter((item) => item.kind === 'number' || item.kind === 'ordinal');
  const firm = numbers.filter((item) => item.kind === 'ordinal' || !item.weak);
  return firm.some((item) => item.kind === 'ordinal') ? firm : numbers;
}

/** A 'no' or 'not' that is not short for 'number' before one ('no 2', 'no. 2'). */
const isDenied = (items: readonly Item[]): boolean =>
  items.some((item, i) => {
    if (item.kind !== 'reply' || item.name !== 'no') return false;
    const next = items[i + 1];
    const number = next?.kind === 'sign' && next.text === '.' ? items[i + 2] : next;
    return !(item.text === 'no' && number?.kind === 'number');
  });

/** Whether the 'no' is a word of the option itself ('not yet', 'no pain'): without it the option is named no more. */
function isOwnDenial(
  text: string,
  items: readonly Item[],
  value: number,
  words: Extract<Asked, { kind: 'choice' }>['words'],
): boolean {
  const denials = new Set(
    items.flatMap((item) => (item.kind === 'reply' && item.name === 'no' ? [item.text] : [])),
  );
  const rest = normalise(text)
    .split(/\s+/u)
    .filter((word) => !denials.has(word.replace(/[.,!;]+$/u, '')));
  return !namedOptions(rest.join(' '), words).includes(value);
}

/** One option, by number, number word, order ('pehla') or the option's own words. Two different ones are unclear. */
export function readChoice(
  text: string,
  asked: Extract<Asked, { kind: 'choice' }>,
  words: AnswerWords,
): Reading {
  const items = scan(text, words, wanted);
  const numbers = optionNumbers(items).map((item) => item.value);
  const weakOnly = items.every((item) => item.kind !== 'number' || item.weak);
  const named = namedOptions(text, asked.words);
  const given = new Set([...named, ...(named.length > 0 && weakOnly ? [] : numbers)]);
  const [value] = given;
  if (value === undefined) return said(items, 'unsure', 'skip') ? skipped : unclear;
  if (
    given.size > 1 ||
    !Number.isInteger(value) ||
    (isDenied(items) && !(named.includes(value) && isOwnDenial(text, items, value, asked.words))) ||
    items.some((i) => i.kind === 'mark' && ['but', 'last', 'next'].includes(i.name))
  )
    return unclear;
  const sure = !said(items, 'unsure') && unknownWords(items) <= 6;
  return readAs({ kind: 'choice', value }, sure, value >= 1 && value <= asked.options);
}

/**
 * Several options: '135', '1 3 5', '1, 3 and 5', words; [] for none. Digits written together are single options when the
 * question has at most nine. '2-4' with a dash is doubtful: it may be two options or three.
 */
export function readChoices(
  text: string,
  asked: Extract<Asked, { kind: 'choices' }>,
  words: AnswerWords,
): Reading {
  const items = scan(text, words, wanted);
  const answer = (values: Iterable<number>, sure: boolean): Reading => {
    const value = [...new Set(values)].sort((a, b) => a - b);
    return readAs(
      { kind: 'choices', value },
      sure,
      value.every((v) => v >= 1 && v <= asked.options),
    );
  };
  const named = namedOptions(text, asked.words);
  const numbers = optionNumbers(items);
  const mark = (...names: readonly string[]): boolean =>
    items.some((i) => i.kind === 'mark' && names.includes(i.name));
  if (named.length === 0 && numbers.length === 0) {
    if (said(items, 'unsure', 'skip')) return skipped;
    if (said(items, 'none', 'no', 'weak-no'))
      return mark('all') && !said(items, 'none') ? unclear : answer([], unknownWords(items) <= 6);
    if (mark('all'))
      return answer(
        Array.from({ length: asked.options }, (_, i) => i + 1),
        true,
      );
    return unclear;
  }
  if (mark('but', 'last') || said(items, 'none') || isDenied(items)) return unclear;
  if (mark('all')) return unclear;
  const weakOnly = named.length > 0 && items.every((item) => item.kind !== 'number' || item.weak);
  let sure = !mark('or') && !said(items, 'unsure') && unknownWords(items) <= 6;
  const values: number[] = [...named];
  for (const item of weakOnly ? [] : numbers) {
    const digits = item.kind === 'number' ? item.digits : null;
    if (digits !== null && digits.length > 1 && asked.options <= 9) values.push(...[...digits].map(Number));
    else values.push(item.value);
    if (digits !== null && digits.length > 1 && asked.options > 9)
      sure = sure && item.value <= asked.options && /0/u.test(digits);
  }
  for (let i = 1; i + 1 < items.length; i += 1) {
    const [low, join, high] = [items[i - 1], items[i], items[i + 1]];
    if (
      low?.kind !== 'number' ||
      high?.kind !== 'number' ||
      low.value >= high.value ||
      high.value > asked.options
    )
      continue;
    const dash =
      join?.kind === 'sign' && join.text === '-' && numbers.length === 2 && high.value > low.value + 1;
    if (!dash && !(join?.kind === 'mark' && join.name === 'to')) continue;
    for (let v = low.value + 1; v < high.value; v += 1) values.push(v);
    if (dash) sure = false;
  }
  if (values.some((v) => v === 0))
    return values.every((v) => v === 0) ? answer([], sure) : answer(values, false);
  return answer(values, sure);
}
