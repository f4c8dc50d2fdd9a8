import { compileNearWords, type NearWords } from './near-words.ts';
import { consonantKey, isDevanagari, leavesOutA, soundKey, soundStem, spelledSound } from './sound-key.ts';
import { textTokens } from './text-tokens.ts';
import { remembered } from '../remembered.ts';

/** A saying of one or more words that fills a slot. */
export interface Saying {
  readonly slot: number;
  readonly words: readonly string[];
}

/** How a written word was recognised: as listed, by its sound, or past a typing mistake. */
export type Likeness = 0 | 1 | 2;

export interface KnownWord {
  readonly word: string;
  readonly likeness: Likeness;
}

/** All words of all phrase files with the ways to recognise them. */
export interface Vocabulary {
  readonly known: (written: string) => readonly KnownWord[];
  readonly sayingsFrom: (word: string) => readonly Saying[];
  /** True for a word that stands in a phrase file as it is written. */
  readonly listed: (word: string) => boolean;
}

/** Collects words and sayings while the files are compiled. */
export class VocabularyBuilder {
  readonly #sayings = new Map<string, Saying[]>();
  readonly #words = new Map<string, boolean>();
  readonly #telling = new Set<string>();
  readonly #plain = new Set<string>();
  readonly #shorts = new Map<string, string>();

  /**
   * Adds a saying to a slot. `english` words are not compared by sound; `context` words (who, when, asked) only when
   * long, since a wrong guess there hides a sign.
   *
   * @returns false when it has no words
   */
  add(slot: number, saying: string, english: boolean, context = false): boolean {
    const words = textTokens(saying).tokens.map((token) => token.word);
    const first = words[0];
    if (first === undefined) return false;
    for (const word of words) {
      this.#words.set(word, english && this.#words.get(word) !== false);
      if (!context) this.#telling.add(word);
    }
    const list = this.#sayings.get(first);
    if (list === undefined) this.#sayings.set(first, [{ slot, words }]);
    else if (!list.some((one) => one.slot === slot && one.words.join(' ') === words.join(' ')))
      list.push({ slot, words });
    return true;
  }

  /** Everyday words that are never taken for a mistyped danger word. */
  addPlain(text: string): void {
    for (const token of textTokens(text).tokens) this.#plain.add(token.word);
  }

  /** What keypads leave of a word: "bnd" is taken for "band", and for itself too where it is a word. */
  addShort(short: string, full: string): void {
    this.#shorts.set(short, full);
  }

  build(): Vocabulary {
    const bySound = new Map<string, string[]>();
    const byStem = new Map<string, string[]>();
    const byConsonants = new Map<string, string[]>();
    for (const [word, english] of this.#words) {
      if (!english) {
        const key = soundKey(word);
        const telling = this.#telling.has(word);
        if (telling || key.length >= 5) push(bySound, key, word);
        if (telling && key.length >= 3) push(byStem, soundStem(key), word);
      }
      const bare = consonantKey(english ? word.replace(/e|y/gu, 'i').replace(/o/gu, 'u') : soundKey(word));
      if (bare.length >= 3) push(byConsonants, bare, word);
    }
    const near: NearWords = compileNearWords(this.#telling);
    const plain = this.#plain;
    const words = this.#words;
    const sayings = this.#sayings;
    const shorts = this.#shorts;
    const knownAs = (written: string): readonly KnownWord[] => {
      const english = words.get(written);
      if (english === true) return [{ word: written, likeness: 0 }];
      if (english === undefined && plain.has(written)) return NO_WORDS;
      const alike: KnownWord[] = english === false ? [{ word: written, likeness: 0 }] : [];
      if (
        !plain.has(written) &&
        written.length > 2 &&
        (english === undefined || written.length > 4 || isDevanagari(written) || leavesOutA(written))
      ) {
        // A word that is listed as it is written is spelled rightly: "जाग" (wakes) is not "झाग" (foam).
        const spelled = english === false && isDevanagari(written) ? spelledSound(written) : undefined;
        // "पीला" (yellow) is "peela"; "pila" may as well be "पिला" (fed), which is listed for itself.
        const short = written.replace(/ी(?=.)/gu, 'ि').replace(/ू(?=.)/gu, 'ु');
        const pair = spelled !== undefined && short !== written && words.has(short);
        for (const word of bySound.get(soundKey(written)) ?? NO_STRINGS) {
          const theShort = pair && (word === short || (!isDevanagari(word) && !/ee|oo|ea/u.test(word)));
          if (word !== written && !theShort && (spelled === undefined || spelledSound(word) === spelled))
            alike.push({ word, likeness: 1 });
        }
      }
      if (english !== undefined && alike.length > 0) return alike;
      const key = soundKey(written);
      if (key.length >= 3 && (key.length >= 4 || isDevanagari(written))) {
        for (const word of byStem.get(soundStem(key)) ?? NO_STRINGS)
          if (!alike.some((one) => one.word === word)) alike.push({ word, likeness: 1 });
      }
      if (alike.length > 0) return alike;
      if (written.length >= 3 && !isDevanagari(written) && !/[aeiou]/u.test(written.slice(1))) {
        for (const word of byConsonants.get(consonantKey(soundKey(written))) ?? NO_STRINGS)
          if (word.length - written.length <= 5) alike.push({ word, likeness: 2 });
        if (alike.length > 0) return alike;
      }
      return near.near(written).map((word) => ({ word, likeness: 2 }));
    };
    return {
      sayingsFrom: (word) => sayings.get(word) ?? NONE,
      listed: (word) => words.has(word) || plain.has(word),
      known: remembered((written): readonly KnownWord[] => {
        const own = knownAs(written);
        const full = shorts.get(written);
        if (full === undefined) return own;
        const meant = knownAs(full).map(({ word, likeness }) => ({ word, likeness: likeness || 1 }) as const);
        return [...own.filter(({ likeness }) => likeness === 0), ...meant];
      }),
    };
  }
}

const NONE: readonly Saying[] = [];
const NO_WORDS: readonly KnownWord[] = [];
const NO_STRINGS: readonly string[] = [];

const push = (map: Map<string, string[]>, key: string, value: string): void => {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
};
