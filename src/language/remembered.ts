/** Words that a reader remembers: mothers of a programme use some thousand, and a table of them must not grow with what is made up. */
const mostWords = 10_000;
/** Longer ones are no words that come again. */
const longestWord = 40;
/** Texts that come again from one mother after the other: "9 3 6 4", "1 1 0", "haan ji". */
const mostTexts = 5_000;
/** A longer text is a letter of hers, and is read afresh. Unlike words, texts are held only in small numbers: they are hers. */
const longestText = 60;

/** Gives what was made of a text before, and makes it where nothing was. `about` names all else that it depends on. */
export type Recall<Made> = (text: string, about: string, make: () => Made) => Made;

/** The same function, with its answers kept: what a word sounds like or could stand for is worked out once, not in every text. */
export function remembered<Answer>(answer: (word: string) => Answer): (word: string) => Answer {
  return keeping(answer, mostWords, longestWord);
}

/** The same function, with its answers to short texts kept: most answers to a check-in are the same few figures. */
export function rememberedTexts<Answer>(answer: (text: string) => Answer): (text: string) => Answer {
  return keeping(answer, mostTexts, longestText);
}

/** Remembers what was made of short texts, in one table for all that is asked. */
export function recallTexts<Made>(): Recall<Made> {
  const kept = table<Made>(mostTexts);
  return (text, about, make) => (text.length > longestText ? make() : kept(`${about} ${text}`, make));
}

function keeping<Answer>(answer: (text: string) => Answer, most: number, longest: number) {
  const kept = table<Answer>(most);
  return (text: string): Answer => (text.length > longest ? answer(text) : kept(text, answer));
}

/** At most so many answers by name; a full table begins anew. An answer that is undefined is made every time. */
function table<Made>(most: number): (key: string, make: (key: string) => Made) => Made {
  const known = new Map<string, Made>();
  return (key, make) => {
    const before = known.get(key);
    if (before !== undefined) return before;
    const made = make(key);
    if (known.size >= most) known.clear();
    known.set(key, made);
    return made;
  };
}
