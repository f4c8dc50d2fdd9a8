/** Words that a reader remembers: mothers of a programme use some thousand, and a table of them must not grow with what is made up. */
const mostWords = 10_000;
/** Longer ones are no words that come again. */
const longestWord = 40;

/** The same function, with its answers kept: what a word sounds like or could stand for is worked out once, not in every text. */
export function remembered<Answer>(answer: (word: string) => Answer): (word: string) => Answer {
  const known = new Map<string, Answer>();
  return (word) => {
    const before = known.get(word);
    if (before !== undefined) return before;
    const found = answer(word);
    if (word.length > longestWord) return found;
    if (known.size >= mostWords) known.clear();
    known.set(word, found);
    return found;
  };
}
