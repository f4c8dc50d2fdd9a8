import { clauseOf, widerClauseOf } from './clause-of.ts';
import type { DangerPhrases, SignMeaning } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReaderSlot } from './reader-slots.ts';
import type { ReadText } from './text-spans.ts';

/** Signs of somebody else that are no emergency of this line: an elder's swollen leg. */
const minor: readonly string[] = [
  'leg-swelling',
  'foul-discharge',
  'wound',
  'breast-red-fever',
  'pale-stools',
];
const isMinor = (meaning: SignMeaning): boolean => minor.includes(meaning.mother ?? meaning.baby ?? '');

/** Tells whether a sign of somebody else may be left in peace: it is neither this mother's nor this baby's, and not new. */
export class OthersSigns {
  readonly #read: ReadText;
  readonly #phrases: DangerPhrases;

  constructor(read: ReadText, phrases: DangerPhrases) {
    this.#read = read;
    this.#phrases = phrases;
  }

  /** True for a sign of another that needs no word of the line; false for one that is asked about. */
  atPeace(match: PhraseMatch): boolean {
    const { meaning } = match.phrase;
    const past = this.#has('own-fine') || this.#longAgo(match) || isMinor(meaning);
    if (past && !meaning.whoever) return true;
    if (this.#surelyOther(match) && (!meaning.lasting || this.#neverPatient(match))) return true;
    if (meaning.neverDenied || this.#otherApart(match)) return false;
    return this.#has('elsewhere') || this.#onceUponATime(match);
  }

  #has(name: ReaderSlot): boolean {
    return this.#read.present.has(this.#phrases.slot[name]);
  }

  #is(at: number, name: ReaderSlot): boolean {
    return startsAt(this.#read, this.#phrases, at, name);
  }

  /** "My husband has fever": just before it, someone who can't be the patient; and nobody else follows unless well. */
  #surelyOther(match: PhraseMatch): boolean {
    if (!this.#has('fine')) {
      for (let at = match.to; at < match.to + 10 && at < this.#read.tokens.length; at++) {
        if (this.#is(at, 'mother') && !this.#asksWhat(at)) return false;
        if (this.#is(at, 'baby') && !this.#is(at, 'pronoun') && !this.#mayCatch(at)) return false;
      }
    }
    for (let at = match.from; at >= 0 && at > match.from - 6; at--) {
      if (this.#is(at, 'busy') && at < match.from) return false;
      if (this.#is(at, 'other-has') || this.#otherWith(at, match.from)) return true;
      if (at < match.from && at >= match.from - 2 && this.#is(at, 'never-patient')) return true;
      // "My husband is at work but i bleed": the word of him ends at the comma or the "but".
      if (at < match.from && this.#is(at, 'but')) return false;
      if ((this.#read.tokens[at]?.breakBefore ?? 0) > 0 && at <= match.from) return false;
    }
    return false;
  }

  /** "Husband has fever, what should i do", "main kya karun": she asks, and does not tell of herself. */
  #asksWhat(at: number): boolean {
    return this.#is(at - 1, 'modal') || this.#is(at - 2, 'modal') || this.#is(at + 1, 'modal');
  }

  /** "Will the baby catch it", "bacche se dur rakhu kya": the baby is named as one who is not ill yet. */
  #mayCatch(at: number): boolean {
    for (let near = at - 2; near <= at + 3; near++) if (this.#is(near, 'may-catch')) return true;
    return false;
  }

  /** "My elder son is at school, eyes turned up": the other one has a part of the sentence, or a place, to himself. */
  #otherApart(match: PhraseMatch): boolean {
    const { low } = clauseOf(this.#read, match);
    for (let at = low; at < match.from; at++) if (this.#is(at, 'busy')) return true;
    for (let at = low; at < match.to; at++) if (this.#is(at, 'other-person')) return false;
    return true;
  }

  #longAgo(match: PhraseMatch): boolean {
    if (!this.#has('long-ago')) return false;
    const { low, high } = widerClauseOf(this.#read, this.#phrases, match);
    for (let at = low; at < high; at++) if (this.#is(at, 'long-ago')) return true;
    return false;
  }

  /** "My husband has fits": a man or an elder named just before, who is no patient of this line. */
  #neverPatient(match: PhraseMatch): boolean {
    for (let at = match.from - 1; at >= 0 && at >= match.from - 5; at--) {
      if (this.#is(at, 'but') || (this.#read.tokens[at + 1]?.breakBefore ?? 0) > 0) return false;
      if (this.#is(at, 'busy')) return false;
      if (this.#is(at, 'never-patient')) return true;
    }
    return false;
  }

  /** "Padosi ko", "uncle has": a person of another household and the word that gives the sign to that person. */
  #otherWith(at: number, before: number): boolean {
    const other = this.#phrases.slot['other-person'];
    return (this.#read.startingAt[at] ?? []).some(
      (span) =>
        span.slot === other &&
        span.to < before &&
        (this.#is(span.to, 'has-word') || (this.#is(span.to, 'baby') && this.#is(span.to + 1, 'has-word'))),
    );
  }

  /** "My sister's baby had fits": another's, told as past, and nothing in the text says that it is now. */
  #onceUponATime(match: PhraseMatch): boolean {
    const after = (at: number): boolean => this.#is(at, 'fine') || this.#is(at, 'well-now');
    const wellSince = this.#read.tokens.some((_, at) => at >= match.to && at < match.to + 10 && after(at));
    // "Bhabhi ki delivery hui thi, unko jhatke aa rahe": the past is the birth's, the sign goes on.
    for (let at = match.to; at < match.to + 3; at++) if (this.#is(at, 'going-on')) return false;
    if ((this.#has('now-told') && !wellSince) || this.#has('day-long')) return false;
    for (let at = match.to; at < match.to + 10 && at < this.#read.tokens.length; at++)
      if (this.#is(at, 'own')) return false;
    for (let at = Math.max(0, match.from - 3); at < match.to + 4; at++) if (this.#is(at, 'was')) return true;
    return false;
  }
}
