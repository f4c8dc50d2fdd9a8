import type { AnswerWords } from '../answer-words.ts';
import type { Asked, Reading } from '../asked.ts';
import { readAs, said, skipped, unclear } from './reading.ts';
import { type Item, scan, type Wanted } from './scan.ts';

const wanted: Wanted = { kinds: ['reply', 'mark'], marks: new Set(['times', 'filler', 'or', 'but']) };

/**
 * Yes or no, in words or as 1 and 2. Both at once is unclear. 'I don't know' is 'unsure' where the question allows it
 * (3 too), else skipped; beside a yes or no it makes that doubtful.
 */
export function readYesNo(
  text: string,
  asked: Extract<Asked, { kind: 'yes-no' }>,
  words: AnswerWords,
): Reading {
  const items = scan(text, words, wanted);
  const answer = (value: boolean | 'unsure', sure = true): Reading => readAs({ kind: 'yes-no', value }, sure);
  const unsure = said(items, 'unsure');
  const strong = said(items, 'yes', 'no');
  const yes = said(items, 'yes') || (!strong && !unsure && said(items, 'weak-yes'));
  const no = said(items, 'no') || (!strong && !unsure && said(items, 'weak-no'));
  // 'All is well' is yes to one question and no to another.
  if (said(items, 'all-well')) return unclear;
  if (yes && no) {
    const first = firstWithStory(items);
    return first === undefined ? unclear : answer(first, false);
  }
  const numbers = items.filter((item) => item.kind === 'number');
  const [number] = numbers;
  const others = items.filter((item) => item.kind === 'word').length;
  if (yes || no) {
    const against =
      number !== undefined && items.length === 2 && number.digits !== null && number.value === (yes ? 2 : 1);
    const marked = (name: string): boolean =>
      items.some((item) => item.kind === 'mark' && item.name === name);
    if (against || marked('or')) return unclear;
    return answer(yes, !unsure && !marked('but') && others <= 8);
  }
  if (unsure) return asked.unsure === true ? answer('unsure') : skipped;
  if (said(items, 'skip')) return skipped;
  if (number === undefined || numbers.length > 1 || others > 2) return unclear;
  if (number.value === 1) return answer(true, others === 0);
  if (number.value === 2) return answer(false, others === 0);
  return number.value === 3 && asked.unsure === true ? answer('unsure') : unclear;
}

/**
 * 'haan, uth nahi raha': yes first, then a 'not' inside a clause of its own. Doubtful, but no contradiction. Undefined for 'yes
 * but no' and the like, where nothing else is said.
 */
function firstWithStory(items: readonly Item[]): boolean | undefined {
  const at = items.findIndex((item) => item.kind === 'reply' && (item.name === 'yes' || item.name === 'no'));
  const first = items[at];
  if (first?.kind !== 'reply') return undefined;
  const others = items
    .slice(at + 1)
    .flatMap((item, i) =>
      item.kind === 'reply' && (item.name === 'yes' || item.name === 'no') && item.name !== first.name
        ? [at + 1 + i]
        : [],
    );
  const inClause = (i: number): boolean => items[i - 1]?.kind === 'word' || items[i + 1]?.kind === 'word';
  // 'no I mean yes' takes the first back.
  const end = items.at(-1);
  const last =
    others.at(-1) === items.length - 1 && end?.kind === 'reply' && end.text.length === end.end - end.at;
  const either = items.some((item) => item.kind === 'mark' && item.name === 'or');
  return !either && !last && others.every(inClause) ? first.name === 'yes' : undefined;
}
