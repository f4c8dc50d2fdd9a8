import type { DangerPhrases } from './compile-danger.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReadText } from './text-spans.ts';
import type { ReaderSlot } from './reader-slots.ts';

/** What the "not" words of a text belong to. */
export interface Negations {
  /** Tokens of "not" words that undo a sign named beside them, or mean nothing ("not only"). */
  readonly spent: ReadonlySet<number>;
  /** A "not" before a word of ending ("is not stopping"): it says that the sign named before it goes on. */
  readonly lasting: ReadonlySet<number>;
  readonly undone: ReadonlySet<PhraseMatch>;
}

/** True when a saying of the slot starts at the token. */
export const startsAt = (read: ReadText, phrases: DangerPhrases, at: number, name: ReaderSlot): boolean =>
  read.starts.get(phrases.slot[name])?.[at] === 1;

const NONE: ReadText['startingAt'][number] = [];
const AHEAD = 4;
/** Words that only stress a "na" before them. */
const stress: ReadonlySet<string> = new Set(['to', 'toh', 'hi', 'तो', 'ही']);

/** Matches by the token that `of` picks. */
export const byToken = (
  matches: readonly PhraseMatch[],
  of: (match: PhraseMatch) => number,
): ReadonlyMap<number, readonly PhraseMatch[]> => {
  const map = new Map<number, PhraseMatch[]>();
  for (const match of matches) {
    const list = map.get(of(match));
    if (list === undefined) map.set(of(match), [match]);
    else list.push(match);
  }
  return map;
};

/**
 * Binds each "no" or "nahi" to the sign it denies: English ones to what follows, Indic ones to what stands before,
 * along a list ("no fever or vomiting"). A "not" before a lasting word ("fever is not coming down") denies nothing.
 */
export const negations = (
  read: ReadText,
  phrases: DangerPhrases,
  matches: readonly PhraseMatch[],
): Negations => {
  const spent = new Set<number>();
  const lasting = new Set<number>();
  const undone = new Set<PhraseMatch>();
  const is = (at: number, name: ReaderSlot): boolean => startsAt(read, phrases, at, name);
  const takesNot = (at: number): boolean =>
    (read.startingAt[at] ?? NONE).some((span) => phrases.takesNot.has(span.slot));
  const takesNotAfter = (at: number): boolean =>
    (read.startingAt[at] ?? NONE).some((span) => phrases.takesNotAfter.has(span.slot));
  /**
   * "jaag nahi" (does not wake) stays a sign of its own though "jaag" also sounds like "jhag" (foam), and so does
   * "pila nahi" (did not drink) though "pila" is yellow too.
   */
  const onlySoundsLike = (here: readonly PhraseMatch[], not: number): boolean =>
    here.every((match) => match.likeness > 0 || match.phrase.items.length > 1) &&
    (read.startingAt[not - 1] ?? NONE).some(
      (span) => span.likeness === 0 && span.to === not && phrases.takesNotAfter.has(span.slot),
    );
  const breakAt = (at: number): number => read.tokens[at]?.breakBefore ?? 2;
  const byFrom = byToken(matches, (match) => match.from);
  const byTo = byToken(matches, (match) => match.to);
  const matchFrom = (at: number): readonly PhraseMatch[] => byFrom.get(at) ?? [];
  const matchTo = (at: number): readonly PhraseMatch[] => byTo.get(at) ?? [];
  const around = (not: number): readonly PhraseMatch[] => {
    const found: PhraseMatch[] = [];
    for (let at = not; at >= 0 && at > not - 30; at--)
      for (const match of matchFrom(at)) if (match.to > not) found.push(match);
    return found;
  };
  /** The last "na" that denied what follows it: in "na bukhar na ulti na dast" the next one does too. */
  let chained = -9;
  const idle = new Set<number>();
  read.startingAt.forEach((spans) => {
    for (const span of spans)
      if (span.slot === phrases.slot['not-really']) for (let at = span.from; at < span.to; at++) idle.add(at);
  });

  const undo = (list: readonly PhraseMatch[], not: number): void => {
    for (const match of list)
      for (const other of nearby(match)) if (sharesWords(match, other)) undone.add(other);
    spent.add(not);
  };
  const namedBefore = (not: number): boolean =>
    [0, 1, 2, 3, 4, 5, 6].some((back) => matchTo(not - back).length > 0 && sameSentence(not - back, not));
  /** "The fever is not coming down", "bukhar nahi utar raha", "bukhar kam nahi ho raha". */
  const persists = (not: number, english: boolean): boolean => {
    if (matchFrom(not + 1).length > 0 && english) return false;
    for (let at = not + 1; at <= not + (english ? 4 : 2) && at < read.tokens.length; at++) {
      if (breakAt(at) > 0 || is(at, 'list-and') || is(at, 'but') || (!english && is(at, 'be'))) break;
      if (is(at, 'persist')) return !english || namedBefore(not) || matchFrom(at + 1).length > 0;
    }
    if (english) return false;
    for (let at = not - 1; at >= not - 2 && at > 0 && breakAt(at + 1) === 0; at--)
      if (is(at, 'persist') || is(at, 'mend')) return true;
    return false;
  };

  read.tokens.forEach((_, not) => {
    const english = is(not, 'not');
    const indic = is(not, 'nahi');
    if (!english && !indic) return;
    if (idle.has(not)) {
      spent.add(not);
      return;
    }
    // "Dudh pina band to nahi kiya": what is denied is the leaving.
    const left = english ? [] : matchTo(isStress(not - 1) ? not - 1 : not).filter(leaves);
    if (left.length > 0) {
      undo(left, not);
      return;
    }
    if (persists(not, english)) {
      lasting.add(not);
      return;
    }
    // "Bukhar ya thand nahi": what stands before the "or" is denied with the word after it, where the "nahi" ends its clause.
    const either = not - 2;
    if (indic && breakAt(not) === 0 && is(either, 'or-word') && (breakAt(not + 1) > 0 || is(not + 1, 'be')))
      undo(matchTo(either), not);
    const said = around(not).filter((match) => match.spans.some((span) => span.from <= not && not < span.to));
    if (said.length > 0) {
      spent.add(not);
      return;
    }
    // "Na to bukhar h na hi ulti": the small word between only stresses.
    const told = isStress(not + 1) ? not + 2 : not + 1;
    const inChain = not - chained <= 8 && sameSentence(chained, not);
    const opens = matchTo(not).length === 0 && (told > not + 1 || is(not + 2, 'pre-not'));
    const stays = matchFrom(told).some(({ to }) => is(to, 'persist') || is(to + 1, 'persist'));
    const listed =
      is(not, 'pre-not') && !stays && (soleSign(told) ? inChain || opens : inChain && told > not + 1);
    const inside = around(not).filter(
      (match) => match.from < not && not < match.to && beside(match, not, english),
    );
    if (inside.length > 0 && !listed) {
      undo(inside, not);
      return;
    }
    // "na bukhar" denies what follows; "ulti nahi, julab nahi" what stands before.
    const before = breakAt(not) === 0 && matchTo(not).some((match) => !undone.has(match));
    const denies = is(not, 'pre-not') && (!takesNot(not + 1) || listed) && breakAt(not + 1) === 0;
    // "Bina chot ke khoon": "bina" reaches no further than its "ke".
    const reach = is(not, 'without') ? not + 3 : read.tokens.length;
    const denied = matchFrom(listed ? told : not + 1).filter(({ to }) => to <= reach);
    if (indic && !before && denies && denied.length > 0) {
      undo(denied, not);
      chained = not;
      return;
    }
    if (told > not + 1 && is(not, 'pre-not')) return;
    // "Fever no, vomiting no", "fits? no": a "no" that ends its clause denies what stands right before it.
    if (
      english &&
      read.tokens[not]?.word === 'no' &&
      (not + 1 >= read.tokens.length || breakAt(not + 1) > 0)
    ) {
      const told = matchTo(not).filter((match) => !undone.has(match));
      if (told.length > 0) {
        undo(told, not);
        return;
      }
    }
    if (english) {
      let at = not + 1;
      for (
        let steps = 0;
        steps <= AHEAD && at < read.tokens.length && breakAt(at) === 0 && !is(at, 'but');
        steps++
      ) {
        // "Nt takin brest": what only sounds like a sign ("thakke", clots) is not what the "not" is about.
        if (
          takesNot(at) &&
          !matchFrom(at).some(({ phrase, likeness }) => phrase.items.length === 1 && likeness === 0)
        )
          return;
        // "without tears and mouth is dry": what comes after an "and" is told, not denied.
        if (is(at, 'and-word')) return;
        const here = matchFrom(at);
        if (here.length > 0) {
          undo(here, not);
          at = Math.max(...here.map((match) => match.to));
          // "no fever, cough or vomiting": the "no" reaches on over a list.
          while (at < read.tokens.length && breakAt(at) < 2) {
            const joined = is(at, 'list-and') ? at + 1 : breakAt(at) === 1 && listGoesOn(at) ? at : -1;
            if (joined < 0) break;
            const more = matchFrom(joined);
            if (more.length === 0) break;
            undo(more, not);
            at = Math.max(...more.map((match) => match.to));
          }
          return;
        }
        if (takesNot(at)) return;
        at++;
      }
      return;
    }
    // "Ulti bhi nahi", "ulti pan nahi": "no vomiting either"; the word between only stresses.
    let end = breakAt(not) === 0 && is(not - 1, 'even') && matchTo(not - 1).length > 0 ? not - 1 : not;
    const tells = matchTo(not).length === 0 && takesNot(not + 1) && breakAt(not + 1) === 0;
    if (tells && !(end < not && is(not + 1, 'be'))) return;
    for (let steps = 0; steps <= 3 && end > 0; steps++) {
      // "Pair itne suje ki chappal nahi aati": the "nahi" is of what follows from it.
      if (is(end - 1, 'that-word') && isSoMuch(end - 1)) return;
      // "Badan garam h thermometer nahi": past a "hai" the "nahi" is of the word beside it.
      if (steps > 0 && is(end - 1, 'be') && !is(not - 1, 'even')) return;
      const here = matchTo(end);
      if (here.length > 0 && breakAt(end) === 0) {
        undo(here, not);
        if (end === not && onlySoundsLike(here, not)) spent.delete(not);
        let from = Math.min(...here.map((match) => match.from));
        // "Pet phula h, potty bhi nahi": the "bhi" adds what is denied to what is told before the comma.
        const adds = is(not, 'even') || is(not - 1, 'even');
        while (from > 0 && breakAt(from) < (adds ? 1 : 2)) {
          let last = is(from - 1, 'list-and') ? from - 1 : from;
          // "Bukhar khansi dast kuch bhi nahi": an ache that is no sign stands in the list too.
          if (matchTo(last).length === 0 && is(last - 1, 'ache') && breakAt(last) < 2) last--;
          const before = matchTo(last);
          if (before.length === 0) break;
          undo(before, not);
          from = Math.min(...before.map((match) => match.from));
        }
        return;
      }
      if (breakAt(end) > 0 || is(end - 1, 'but') || takesNotAfter(end - 1)) return;
      if (steps > 0 && is(end - 1, 'be')) return;
      end--;
    }
  });
  return { spent, lasting, undone };

  /** A "not" between the words of a phrase denies it only right beside one: "breathing is not fast". */
  function beside(match: PhraseMatch, not: number, english: boolean): boolean {
    if (!english) return match.spans.some((span) => span.to === not) && !takesNot(not + 1);
    return match.spans.some((span) => span.from > not && span.from <= not + 2) && !takesNot(not + 1);
  }

  function sharesWords(one: PhraseMatch, other: PhraseMatch): boolean {
    return one.spans.some((a) => other.spans.some((b) => a.from < b.to && b.from < a.to && !isWho(a.from)));
  }

  /** True where a sign of one word stands, like "fever": it is what a "no" before it denies. */
  function soleSign(at: number): boolean {
    return matchFrom(at).some((match) => match.phrase.items.length === 1);
  }

  function nearby(match: PhraseMatch): readonly PhraseMatch[] {
    const found: PhraseMatch[] = [];
    for (let at = Math.max(0, match.from - 30); at < match.to; at++)
      for (const other of matchFrom(at)) if (other.to > match.from) found.push(other);
    return found;
  }

  function isSoMuch(before: number): boolean {
    for (let at = before - 1; at >= 0 && at > before - 8 && breakAt(at + 1) < 2; at--)
      if (is(at, 'so-much')) return true;
    return false;
  }

  function leaves({ spans, phrase }: PhraseMatch): boolean {
    const last = spans[spans.length - 1];
    return phrase.meaning.baby === 'not-feeding' && last?.slot === phrases.slot.leave;
  }

  function isStress(at: number): boolean {
    return breakAt(at) === 0 && stress.has(read.tokens[at]?.word ?? '');
  }

  function isWho(at: number): boolean {
    return is(at, 'baby') || is(at, 'mother');
  }

  function sameSentence(from: number, to: number): boolean {
    for (let at = from; at <= to; at++) if (breakAt(at) === 2) return false;
    return true;
  }

  function listGoesOn(at: number): boolean {
    for (let next = at; next < at + 8 && next < read.tokens.length && breakAt(next) < 2; next++)
      if (is(next, 'list-and')) return true;
    return false;
  }
};
