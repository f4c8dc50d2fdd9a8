import type { BitCoder } from './arithmetic-coder.ts';
import { Numbers } from './numbers.ts';
import { OddsTable, withinReason } from './odds.ts';
import { endId, instantId, isInstant, kindOf, kinds, Vocabulary, wordsOf } from './vocabulary.ts';
import { candidates, contextCount, nobody, WordContexts } from './word-contexts.ts';

/** Names of flags and choices in `Numbers`; those of instants are below 124. Part of the form: never to be changed. */
const isKnown = 128;
const hasSpace = 136;
const isPlain = 144;
const isLess = 145;
const isAscii = 150;
const isDevanagari = 170;
const kindAfter = 0;
const figureLength = 8;
const figureDigit = 9;
/** Names of sizes. */
const figureSize = 40;
const figureStep = 41;
/** The instants that stand in texts. */
const inText = 20;

const noFigure = 0xffff;
const treeSize = 1 << 13;

/** A text longer than this, all of a record together, may hold more words than there are ids. Characters. */
export const mostCharacters = 50_000;

/**
 * Codes texts word by word. Of each word the contexts that were met before tell what mostly follows, the longest first; a bit at
 * the odds of such a guess says whether it is right. What no context foresaw is named by its id, a figure by its distance from the one that
 * stood in such a place before, and a new word is spelled. Everything that was coded teaches, one way as the other.
 */
export class TextCoder {
  readonly #contexts = new WordContexts();
  readonly #vocabulary = new Vocabulary();
  readonly numbers = new Numbers();
  /** By context, rank, trust, how many guesses failed before, and how the last two words went. */
  readonly #guesses = new OddsTable(contextCount * 4 * 16 * 4 * 16, 120);
  /** By the context itself. */
  readonly #places = new OddsTable(1 << 16, 30);
  readonly #ids = new OddsTable(treeSize, 60);
  readonly #letters = new OddsTable(1 << 14, 60);
  /** The last figure after the same three words. */
  readonly #figures = new Uint16Array(4_096).fill(noFigure);
  readonly #tried = new Int32Array(contextCount * candidates);
  #course = 0;
  #instant = 0;

  /** Begins with what another one has learnt. */
  become(other: TextCoder): void {
    this.#contexts.become(other.#contexts);
    this.#vocabulary.become(other.#vocabulary);
    this.numbers.become(other.numbers);
    this.#guesses.become(other.#guesses);
    this.#places.become(other.#places);
    this.#ids.become(other.#ids);
    this.#letters.become(other.#letters);
    this.#figures.set(other.#figures);
    this.start();
  }

  /** Begins a record: what is learnt stays. */
  start(): void {
    this.#contexts.start();
    this.#course = 0;
    this.#instant = 0;
  }

  /** Writes a text, or reads one and heeds `text` not. */
  text(io: BitCoder, text: string): string {
    const words = io.isReading ? [] : wordsOf(text);
    let read = '';
    for (let i = 0; ; i++) {
      const id = this.#word(io, words[i] ?? '');
      if (id === endId) return io.isReading ? read : text;
      if (io.isReading) read += id === instantId ? String(this.#instant) : this.#vocabulary.wordOf(id);
    }
  }

  /** One word, '' for the end of the text. Gives its id. */
  #word(io: BitCoder, word: string): number {
    const contexts = this.#contexts;
    const instant = !io.isReading && isInstant(word);
    contexts.look();
    let id = -1;
    let foreseenIn = contextCount - 1;
    let failed = 0;
    let outcome = 0;
    for (let context = 0; context < contextCount && id < 0; context++) {
      if (!contexts.isKnown(context)) continue;
      const trust = contexts.trustIn(context);
      for (let rank = 0; rank < candidates; rank++) {
        const guess = contexts.candidate(context, rank);
        if (guess === nobody) break;
        if (this.#wasTried(guess, failed)) continue;
        const isRight = instant ? guess === instantId : this.#vocabulary.wordOf(guess) === word;
        const circumstance =
          (((context * 4 + rank) * 16 + trust) * 4 + (failed > 3 ? 3 : failed)) * 16 + this.#course;
        if (this.#guess(io, circumstance, contexts.hashOf(context) + rank, isRight)) {
          id = guess;
          foreseenIn = context;
          outcome = failed === 0 ? 3 : 1;
          break;
        }
        this.#tried[failed++] = guess;
      }
    }
    if (id < 0) id = this.#unforeseen(io, word, instant);
    if (id === instantId)
      this.#instant = this.numbers.instant(io, inText, this.#instant, instant ? Number(word) : 0);
    else if (this.#vocabulary.kindOf(id) === kinds.figure)
      this.#figures[this.#figurePlace()] = Number(this.#vocabulary.wordOf(id));
    contexts.learn(id, foreseenIn);
    this.#course = ((this.#course << 2) | outcome) & 15;
    return id;
  }

  #wasTried(guess: number, failed: number): boolean {
    for (let i = 0; i < failed; i++) if (this.#tried[i] === guess) return true;
    return false;
  }

  /** Half by what such guesses are worth, half by what this very one was worth so far. */
  #guess(io: BitCoder, circumstance: number, hash: number, isRight: boolean): boolean {
    const place = Math.imul(hash, 0x9e3779b1) >>> 16;
    const general = this.#guesses.odds[circumstance] ?? 0;
    const own = this.#places.odds[place] ?? 0;
    const seen = this.#places.seen[place] ?? 0;
    const odds = seen < 2 ? general : seen < 8 ? (3 * general + own) >> 2 : (general + own) >> 1;
    const bit = io.bit(isRight ? 1 : 0, withinReason(odds));
    this.#guesses.learn(circumstance, bit);
    this.#places.learn(place, bit);
    return bit === 1;
  }

  #figurePlace(): number {
    const contexts = this.#contexts;
    const hash =
      Math.imul(contexts.before(1) + 1, 0x9e3779b1) ^
      Math.imul(contexts.before(2) + 7, 0x85ebca6b) ^
      Math.imul(contexts.before(3), 0x27d4eb2f);
    return Math.imul(hash, 0x9e3779b1) >>> 20;
  }

  #unforeseen(io: BitCoder, word: string, instant: boolean): number {
    const after = this.#vocabulary.kindOf(this.#contexts.before(1));
    const kind = this.numbers.choice(
      io,
      kindAfter + after,
      3,
      instant ? kinds.instant : word === '' ? kinds.end : kindOf(word),
    );
    if (kind === kinds.instant) return instantId;
    if (kind === kinds.end) return endId;
    if (kind === kinds.figure) return this.#vocabulary.add(this.#figure(io, word, after), kinds.figure);
    const known = this.#vocabulary.idOf(word);
    if (this.numbers.flag(io, isKnown + after, known !== undefined)) return this.#byId(io, known ?? 0);
    return this.#vocabulary.add(this.#spelled(io, word, kind), kind);
  }

  #byId(io: BitCoder, id: number): number {
    const bits = 32 - Math.clz32(this.#vocabulary.size - 1);
    let node = 1;
    for (let i = bits - 1; i >= 0; i--) {
      const bit = (id >>> i) & 1;
      node = node * 2 + (node < treeSize ? this.#ids.code(io, node, bit) : io.bit(bit, 32_768));
    }
    return node - (1 << bits);
  }

  /** Up to four digits, perhaps after a space. */
  #figure(io: BitCoder, word: string, after: number): string {
    const { numbers } = this;
    const space = numbers.flag(io, hasSpace + after, word.startsWith(' ')) ? ' ' : '';
    const digits = io.isReading ? '' : word.slice(space.length);
    if (!numbers.flag(io, isPlain, String(Number(digits)) === digits)) {
      const length = numbers.choice(io, figureLength, 2, digits.length - 1) + 1;
      let read = space;
      for (let i = 0; i < length; i++) read += numbers.choice(io, figureDigit, 4, Number(digits[i] ?? 0));
      return read;
    }
    const value = Number(digits);
    const before = this.#figures[this.#figurePlace()] ?? noFigure;
    if (before === noFigure) return `${space}${numbers.size(io, figureSize, value)}`;
    const less = numbers.flag(io, isLess, value < before);
    const step = numbers.size(io, less ? figureStep + 1 : figureStep, Math.abs(value - before));
    return `${space}${less ? before - step : before + step}`;
  }

  /** Letter by letter, each by the two before it; a zero that is not the first ends the word. */
  #spelled(io: BitCoder, word: string, kind: number): string {
    let read = '';
    let last = 0;
    let before = 0;
    for (let i = 0; ; i++) {
      const code = io.isReading || i >= word.length ? 0 : word.charCodeAt(i);
      const context = last * 131 + before * 527 + Math.min(i, 4) * 0x51ed27;
      const afterDevanagari = last >= 0x900 && last <= 0x97f ? 1 : 0;
      let got = 0;
      if (this.numbers.flag(io, isAscii + kind * 2 + afterDevanagari, code < 128)) {
        got = this.#letter(io, context, 7, code);
        if (got === 0 && i > 0) return read;
      } else if (this.numbers.flag(io, isDevanagari + afterDevanagari, code >= 0x900 && code <= 0x97f))
        got = 0x900 + this.#letter(io, context ^ 0x5555555, 7, code - 0x900);
      else got = this.#letter(io, 12_345, 16, code);
      read += String.fromCharCode(got);
      before = last;
      last = got;
    }
  }

  #letter(io: BitCoder, context: number, bits: number, code: number): number {
    const mixed = Math.imul(context, 0x9e3779b1);
    let node = 1;
    for (let i = bits - 1; i >= 0; i--) {
      const circumstance = Math.imul(mixed + node * 0x2545f491, 0x9e3779b1) >>> 18;
      node = node * 2 + this.#letters.code(io, circumstance, (code >>> i) & 1);
    }
    return node - (1 << bits);
  }
}
