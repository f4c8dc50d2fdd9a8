/** What a word is, as far as it helps to guess the next. The numbers are part of the form: never to be changed. */
export const kinds = { end: 0, figure: 1, marks: 2, latin: 3, devanagari: 4, other: 5, instant: 6 } as const;

/** Ids of the words that stand in no text: the end of one, and an instant, whose milliseconds follow. */
export const endId = 0;
export const instantId = 1;

/**
 * Epoch milliseconds of the years 2001 to 2128; words and short figures with the space before them; marks of JSON in a row; what JSON
 * escapes; any other character alone. Every text is the words it falls into, one after the other; a zero character is a word by itself.
 */
const word = /[1-4]\d{12}(?!\d)|\\[!-~]| ?[A-Za-z]+| ?[\u0900-\u097f]+| ?\d{1,4}|["{}[\]:,]+|[^]/g;

export function wordsOf(text: string): readonly string[] {
  return text.match(word) ?? [];
}

export function isInstant(word: string): boolean {
  return word.length === 13 && word.charCodeAt(0) >= 0x31 && word.charCodeAt(0) <= 0x34 && /^\d+$/.test(word);
}

export function kindOf(word: string): number {
  const first = word.charCodeAt(word.length > 1 && word.startsWith(' ') ? 1 : 0);
  if (first >= 0x30 && first <= 0x39) return kinds.figure;
  if ((first >= 0x41 && first <= 0x5a) || (first >= 0x61 && first <= 0x7a)) return kinds.latin;
  if (first >= 0x900 && first <= 0x97f) return kinds.devanagari;
  return '"{}[]:,'.includes(word.charAt(0)) ? kinds.marks : kinds.other;
}

/** The words met so far, numbered in the order in which they came. */
export class Vocabulary {
  /** No text falls into a word like that of the instant. */
  readonly #words: string[] = ['', '\0\0'];
  readonly #kinds: number[] = [kinds.end, kinds.instant];
  #origin: Vocabulary | undefined;
  readonly #ids = new Map<string, number>([['', endId]]);

  get size(): number {
    return this.#words.length;
  }

  idOf(word: string): number | undefined {
    return this.#ids.get(word);
  }

  wordOf(id: number): string {
    return this.#words[id] ?? '';
  }

  kindOf(id: number): number {
    return this.#kinds[id] ?? kinds.other;
  }

  /** The id of a word, a new one if it was not met before. */
  add(word: string, kind: number): number {
    const known = this.#ids.get(word);
    if (known !== undefined) return known;
    const id = this.#words.length;
    this.#ids.set(word, id);
    this.#words.push(word);
    this.#kinds.push(kind);
    return id;
  }

  /** Has the words of another one and no others. That one must not grow afterwards: it is then quick to become the same again. */
  become(other: Vocabulary): void {
    const size = this.#origin === other ? other.size : 2;
    for (let id = size; id < this.size; id++) this.#ids.delete(this.wordOf(id));
    this.#words.length = size;
    this.#kinds.length = size;
    for (let id = size; id < other.size; id++) this.add(other.wordOf(id), other.kindOf(id));
    this.#origin = other;
  }
}
