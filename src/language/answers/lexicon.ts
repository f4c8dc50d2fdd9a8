import { heavyFold, lightFold } from './fold.ts';
import { normalise, type Token, tokenise } from './normalise.ts';

/** Words or phrases with what they mean, found however they are spelt. */
export interface Lexicon<Meaning> {
  /** The longest phrase that begins at token `at`; undefined when none does. `exact` is false for a folded spelling. */
  match(tokens: readonly Token[], at: number): Match<Meaning> | undefined;
}

export interface Match<Meaning> {
  readonly meaning: Meaning;
  /** How many tokens it took. */
  readonly length: number;
  readonly exact: boolean;
}

/** Latin words shorter than this are taken as they are: folded, 'at' would be 'aat', eight. */
const shortestLightFold = 4;
/** Shortest folded word that may stand for another spelling: below this too many words of other meaning fold alike. */
const shortestHeavyFold = 4;
const shortestTypo = 6;

const keyOf = (texts: readonly string[], fold: (word: string) => string): string => texts.map(fold).join(' ');

/** Whether one wrong, missing, added or swapped letter turns `a` into `b`. */
function oneSlipApart(a: string, b: string): boolean {
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  const restA = a.slice(start);
  const restB = b.slice(start);
  if (restA.slice(1) === restB.slice(1) || restA.slice(1) === restB || restA === restB.slice(1)) return true;
  return restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
}

/** All spellings of `word` with one letter left out, and the word itself. */
function* withOneLetterLess(word: string): Generator<string> {
  yield word;
  for (let i = 0; i < word.length; i += 1) yield word.slice(0, i) + word.slice(i + 1);
}

/**
 * Builds the tables once. A folded spelling that would mean two things means nothing.
 * @param entries phrase and meaning; meanings are compared by identity
 * @param options `typos`: one wrong, missing or added letter is forgiven in words of 6 letters or more
 */
export function lexicon<Meaning extends string | number>(
  entries: Iterable<readonly [phrase: string, meaning: Meaning]>,
  options: { readonly typos?: boolean } = {},
): Lexicon<Meaning> {
  const exact = new Map<string, Meaning>();
  const folded = new Map<string, Meaning | null>();
  const typos = new Map<string, readonly (readonly [word: string, meaning: Meaning])[]>();
  const firsts = new Set<string>();
  let longest = 1;
  const add = (table: Map<string, Meaning | null>, key: string, meaning: Meaning): void => {
    const known = table.get(key);
    table.set(key, known === undefined || known === meaning ? meaning : null);
  };
  for (const [phrase, meaning] of entries) {
    const texts = tokenise(normalise(phrase)).map((token) => token.text);
    const first = texts[0];
    if (first === undefined) continue;
    longest = Math.max(longest, texts.length);
    firsts.add(first).add(lightFold(first)).add(heavyFold(first));
    const key = texts.join(' ');
    if (!exact.has(key)) exact.set(key, meaning);
    add(folded, `l:${keyOf(texts, lightFold)}`, meaning);
    const heavy = keyOf(texts, heavyFold);
    if (heavy.length >= shortestHeavyFold) add(folded, `h:${heavy}`, meaning);
    if (options.typos === true && texts.length === 1 && key.length >= shortestTypo) {
      for (const spelling of withOneLetterLess(key)) {
        typos.set(spelling, [...(typos.get(spelling) ?? []), [key, meaning]]);
      }
    }
  }
  const typo = (word: string): Meaning | undefined => {
    if (word.length < shortestTypo - 1) return undefined;
    let found: Meaning | undefined;
    for (const spelling of withOneLetterLess(word)) {
      for (const [known, meaning] of typos.get(spelling) ?? []) {
        if (meaning === found || !oneSlipApart(word, known)) continue;
        if (found !== undefined) return undefined;
        found = meaning;
      }
    }
    return found;
  };
  return {
    match(tokens, at) {
      const first = tokens[at]?.text;
      if (first === undefined) return undefined;
      const opens = firsts.has(first) || firsts.has(lightFold(first)) || firsts.has(heavyFold(first));
      const most = opens ? Math.min(longest, tokens.length - at) : 0;
      for (let length = most; length >= 1; length -= 1) {
        const texts = tokens.slice(at, at + length).map((token) => token.text);
        const key = texts.join(' ');
        const same = exact.get(key);
        if (same !== undefined) return { meaning: same, length, exact: true };
        const folds = key.length >= shortestLightFold || !/^[a-z]/u.test(key);
        const light = folds ? folded.get(`l:${keyOf(texts, lightFold)}`) : undefined;
        if (light !== undefined && light !== null) return { meaning: light, length, exact: true };
        const heavyKey = keyOf(texts, heavyFold);
        const heavy = heavyKey.length >= shortestHeavyFold ? folded.get(`h:${heavyKey}`) : undefined;
        if (heavy !== undefined && heavy !== null) return { meaning: heavy, length, exact: false };
      }
      const near = tokens[at]?.kind === 'word' ? typo(first) : undefined;
      return near === undefined ? undefined : { meaning: near, length: 1, exact: false };
    },
  };
}
