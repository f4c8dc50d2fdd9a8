/** In shorter words one letter makes another word: 'eight' and 'weight'. */
const shortestWord = 6;

/** Whether one wrong, missing, added or swapped letter turns `a` into `b`. */
function oneSlipApart(a: string, b: string): boolean {
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  const restA = a.slice(start);
  const restB = b.slice(start);
  if (restA.slice(1) === restB.slice(1) || restA.slice(1) === restB || restA === restB.slice(1)) return true;
  return restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
}

/** The word itself, and all that is left of it without one letter. */
function* withOneLetterLess(word: string): Generator<string> {
  yield word;
  for (let i = 0; i < word.length; i += 1) yield word.slice(0, i) + word.slice(i + 1);
}

/**
 * Words of 6 letters or more, found with one wrong, missing, added or swapped letter. Two words one slip apart share a
 * spelling without one letter, so no list has to be walked.
 */
export class SlipTable<Meaning> {
  readonly #known = new Map<string, (readonly [word: string, meaning: Meaning])[]>();
  #longest = 0;

  add(word: string, meaning: Meaning): void {
    if (word.length < shortestWord) return;
    this.#longest = Math.max(this.#longest, word.length);
    for (const spelling of withOneLetterLess(word)) {
      const list = this.#known.get(spelling) ?? [];
      list.push([word, meaning]);
      this.#known.set(spelling, list);
    }
  }

  /** The meaning of the only known word one slip from `written`; undefined when there is none or two differ. */
  meaningOf(written: string): Meaning | undefined {
    if (written.length < shortestWord - 1 || written.length > this.#longest + 1) return undefined;
    let found: Meaning | undefined;
    for (const spelling of withOneLetterLess(written)) {
      for (const [word, meaning] of this.#known.get(spelling) ?? []) {
        if (meaning === found || !oneSlipApart(written, word)) continue;
        if (found !== undefined) return undefined;
        found = meaning;
      }
    }
    return found;
  }
}
