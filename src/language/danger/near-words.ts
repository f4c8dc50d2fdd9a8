/** The largest number of mistypings looked past: none under 4 letters, 1 to 8 letters, 2 from 9. */
const typosAllowed = (length: number): 0 | 1 | 2 => (length < 4 ? 0 : length < 9 ? 1 : 2);

const shortened = (word: string, depth: number, into: Set<string>): void => {
  for (let at = 0; at < word.length; at++) {
    const less = word.slice(0, at) + word.slice(at + 1);
    into.add(less);
    if (depth > 1) shortened(less, depth - 1, into);
  }
};

const shortenings = (word: string, depth: number): Set<string> => {
  const all = new Set<string>([word]);
  if (depth > 0) shortened(word, depth, all);
  return all;
};

/** Letters put in, left out, changed or swapped with the neighbour between two words (restricted Damerau-Levenshtein). */
export const typosBetween = (a: string, b: string): number => {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, at) => at);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let best = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        best = Math.min(best, (before[j - 2] ?? 0) + 1);
      row.push(best);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? 0;
};

/** Words within the allowed number of mistypings of a word, found without comparing with every word. */
export interface NearWords {
  readonly near: (word: string) => readonly string[];
}

/** Prepares the look-up over all words given, by the forms that each takes when letters are left out. */
export const compileNearWords = (words: Iterable<string>): NearWords => {
  const byForm = new Map<string, string[]>();
  for (const word of words) {
    for (const form of shortenings(word, typosAllowed(word.length))) {
      const list = byForm.get(form);
      if (list === undefined) byForm.set(form, [word]);
      else list.push(word);
    }
  }
  return {
    near: (word) => {
      const allowed = typosAllowed(word.length);
      if (allowed === 0 || word.length > 20) return [];
      const found = new Map<string, number>();
      for (const form of shortenings(word, allowed)) {
        for (const candidate of byForm.get(form) ?? []) {
          if (found.has(candidate) || candidate[0] !== word[0]) continue;
          const limit = Math.min(allowed, typosAllowed(candidate.length));
          const typos = typosBetween(word, candidate);
          if (typos <= limit) found.set(candidate, typos);
        }
      }
      const fewest = Math.min(...found.values());
      return [...found].filter(([, typos]) => typos === fewest).map(([candidate]) => candidate);
    },
  };
};
