import { clauseOf, widerClauseOf } from './clause-of.ts';
import type { DangerPhrases } from './compile-danger.ts';
import { startsAt } from './negations.ts';
import type { PhraseMatch } from './phrase-matches.ts';
import type { ReadText } from './text-spans.ts';
import type { ReaderSlot } from './reader-slots.ts';
import { tellsStory } from './tells-story.ts';

/** Whether a found phrase is told as so, is only possible (asked, supposed, past, half-denied), or is not so. */
export type Sureness = 'yes' | 'maybe' | 'no';

/** What stands around a found phrase: is it denied, and which other phrases were found. */
export interface Around {
  readonly undone: boolean;
  readonly others: ReadonlyMap<number, readonly PhraseMatch[]>;
  /** False when nothing in the text asks, supposes or guesses: then none of that is looked for. */
  readonly asks: boolean;
}

const askingSlots: readonly ReaderSlot[] = [
  'story',
  'asking',
  'topic',
  'topic-before',
  'topic-after',
  'long-ago',
  'what-if',
  'if-word',
  'if-then',
  'generic-baby',
  'medicine',
  'hedge',
  'suppose',
  'will-it',
  'modal',
];

/** True when a text asks, supposes, guesses, or tells of long ago or of a story. */
export const asksOrSupposes = (read: ReadText, phrases: DangerPhrases): boolean =>
  askingSlots.some((name) => read.present.has(phrases.slot[name]));

/** As many words on either side may take a phrase back: a long letter without a full stop speaks of much else. */
const UNLESS_REACH = 7;

type Is = (at: number, name: ReaderSlot) => boolean;

/** Weighs a found phrase by what stands around it: denied, over, long ago, told in a story, or only supposed or asked. */
export const sureness = (
  read: ReadText,
  phrases: DangerPhrases,
  match: PhraseMatch,
  { undone, others, asks }: Around,
): Sureness => {
  const { phrase } = match;
  const { lasting, neverDenied } = phrase.meaning;
  if (undone && !neverDenied) return 'no';
  const is: Is = (at, name) => startsAt(read, phrases, at, name);
  const from = read.sentenceFrom[match.from] ?? 0;
  const to = read.sentenceTo[match.to - 1] ?? read.tokens.length;
  const any = (name: ReaderSlot, low: number, high: number): boolean => {
    const first = read.starts.get(phrases.slot[name])?.indexOf(1, Math.max(0, low)) ?? -1;
    return first >= 0 && first < high;
  };
  if (phrase.unless.length > 0) {
    for (let at = Math.max(from, match.from - UNLESS_REACH); at < to && at < match.to + UNLESS_REACH; at++)
      if ((read.startingAt[at] ?? []).some((span) => phrase.unless.includes(span.slot))) return 'no';
  }
  if (undone) return 'maybe';
  if (any('pre-over', match.from - 3, match.from)) return lasting ? 'maybe' : 'no';
  const over = isOver(read, phrases, match, is, any, others);
  const wider = widerClauseOf(read, phrases, match);
  const longAgo = any('long-ago', wider.low, wider.high);
  if (over === 'no' && lasting) return !neverDenied && longAgo ? 'no' : 'maybe';
  if (over !== 'yes') return over;
  if (!lasting && weeksAgo(match, wider.low, wider.high, is, any)) return 'no';
  if (mildAche(match, from, to, any)) return 'no';
  if (onlyHands(match, to, any)) return 'no';
  if (!asks) return badlyTyped(read, match) ? 'maybe' : 'yes';
  const doubtful = neverDenied ? 'maybe' : 'no';
  if (tellsStory(match, from, to, is, any)) return doubtful;
  const end = read.tokens.length;
  const asked = any('asking', from, to) || any('asking', to, to + 6);
  if (asked || isTopic(match, from, to, any) || canItBe(match, from, to, any)) {
    const named = any('baby', from, to) && !any('generic-baby', from, to);
    const own = named || any('own', match.from - 4, match.from);
    return neverDenied || toldAsNow(from, to, any) || (own && (lasting || !asked)) ? 'maybe' : 'no';
  }
  // "Tike se bukhar hoga kya": what may come is asked, right behind the sign's name.
  if (!neverDenied && match.phrase.items.length < 3 && is(match.to, 'will-it')) return 'no';
  // "Pehla bacha piliya se tha, is wale ko nahi": the other one is named before the sign.
  const ownFine = any('long-ago', wider.low, match.from + 1) && any('own-fine', match.to, end);
  if (longAgo || (any('was', wider.low, wider.high) && any('long-ago', to, to + 8)))
    return (any('fine', match.to, end) || ownFine) && !neverDenied ? 'no' : 'maybe';
  if (!neverDenied && (onlySupposed(read, match, from, to, any, others) || inGeneral(from, to, any)))
    return 'no';
  const remedy = neverDenied || lasting ? 'yes' : remedyAsked(read, match, from, to, any);
  if (remedy !== 'yes') return remedy;
  const slight = phrase.detail.mild === true || any('mild', match.from - 3, match.to + 3);
  if (slight && any('hedge', from, to)) return 'maybe';
  if (any('suppose', from, match.from + 1)) return 'maybe';
  if (any('suppose', match.from, Math.min(match.to + 4, to))) return 'maybe';
  return badlyTyped(read, match) ? 'maybe' : 'yes';
};

/** "I had fever, that was three weeks ago": told as past, with its time, and nothing says that it came back or is now. */
const weeksAgo = (match: PhraseMatch, from: number, to: number, is: Is, any: Any): boolean => {
  if (!match.phrase.negatable || !any('weeks-ago', from, to) || toldAsNow(from, to, any)) return false;
  if (!any('was', match.from - 3, match.to + 5) || any('again', from, to)) return false;
  for (let at = match.to; at < match.to + 4; at++) if (is(at, 'going-on')) return false;
  return true;
};

/** "Haath thande rehte h par accha khelta h": hands alone, which are often cool, "but" all else is well (common practice, no source). */
const onlyHands = ({ phrase, spans, from, to: last }: PhraseMatch, to: number, any: Any): boolean =>
  phrase.meaning.baby === 'cold' &&
  phrase.meaning.mother === undefined &&
  spans.length === 2 &&
  any('hands', from, last) &&
  any('but', last, to) &&
  any('fine', last, to) &&
  !any('severe', from, to);

/** A short word past a typing mistake may be another word. */
const badlyTyped = (read: ReadText, match: PhraseMatch): boolean =>
  match.likeness === 2 && match.spans.some((span) => span.likeness === 2 && shortWord(read, span.from));

type Any = (name: ReaderSlot, low: number, high: number) => boolean;

/** True when a text tells since when, or that it is now: then an "if" is no mere question. */
const toldAsNow = (from: number, to: number, any: Any): boolean =>
  any('now-told', from, to) || any('day-long', from, to);

/**
 * "What if baby gets fever", "bukhar aaye to kya kare", "ताप आला तर": a sign that has not come, asked about. An English
 * bare "if" with "is" or a "not" may well be so ("what to do if he is not drinking") and is still asked back.
 */
const onlySupposed = (
  read: ReadText,
  match: PhraseMatch,
  from: number,
  to: number,
  any: Any,
  others: Around['others'],
): boolean => {
  if (toldAsNow(from, to, any)) return false;
  const asked =
    any('question', from, to) ||
    any('question-last', to - 1, to) ||
    read.clean.slice(read.tokens[match.from]?.start ?? 0).includes('?');
  // "Rakt jate, tap ala tar kay karu": the "if" is of the sign that stands between.
  let reach = match.to;
  while (reach < Math.min(match.to + 4, to) && !others.has(reach)) reach++;
  if (any('if-then', match.from, reach)) return asked;
  if (!match.phrase.negatable) return false;
  if (any('what-if', Math.max(from, match.from - 6), match.from)) return true;
  const first = Math.max(from, match.from - 5);
  let conditional = first;
  while (conditional < match.from && !any('if-word', conditional, conditional + 1)) conditional++;
  // "If i feed he vomits" tells what he does; "if he vomits" and "whom do i call if he vomits" only suppose it.
  return (
    asked &&
    conditional < match.from &&
    !any('told-is', first, match.to) &&
    !any('actor', conditional, match.from)
  );
};

/** "Can jaundice come back": a bare sign right after "can" or "does", and nobody named who has it. */
const canItBe = (match: PhraseMatch, from: number, to: number, any: Any): boolean =>
  match.phrase.items.length === 1 &&
  match.from - 1 === from &&
  any('modal', from, match.from) &&
  !any('baby', match.to, to) &&
  !any('mother', match.to, to) &&
  !any('severe', from, to);

/** "What is jaundice", "is jaundice dangerous", "piliya kyu hota hai": a bare sign that the sentence is about. */
const isTopic = (match: PhraseMatch, from: number, to: number, any: Any): boolean =>
  match.phrase.items.length < 3 &&
  !any('severe', from, to) &&
  (any('topic', from, to) ||
    any('topic-before', match.from - 2, match.from) ||
    (any('question', match.from - 1, match.from) && any('topic-after', match.to, match.to + 3)));

/** "Why do babies get fits", "bacho ko daura kyu padta hai": asked of children at large, not told of this one. */
const inGeneral = (from: number, to: number, any: Any): boolean =>
  any('generic-baby', from, to) &&
  any('habit', from, to) &&
  any('question', from, to) &&
  !any('mother', from, to) &&
  !toldAsNow(from, to, any);

/** The mother's aches for which a remedy may be asked about without being ill: "paracetamol for headache?". */
const mildAches: readonly (string | undefined)[] = ['headache-vision', 'abdominal-pain'];

/** "A slight headache": only a severe or a lasting one is in the rules (WHO PNC 2022); a new one is told with its time. */
const mildAche = (match: PhraseMatch, from: number, to: number, any: Any): boolean =>
  mildAches.includes(match.phrase.meaning.mother) &&
  (match.phrase.items.length === 1 || match.phrase.meaning.mother === 'abdominal-pain') &&
  any('mild', match.from - 3, match.to + 1) &&
  !(['severe', 'day-long', 'again', 'temperature'] as const).some((name) => any(name, from, to)) &&
  !any('persist', match.to, match.to + 5);

/** A remedy asked about: for a mild ache it is no sign, for any other it may be one, and "has" or "hai" tells it. */
const remedyAsked = (read: ReadText, match: PhraseMatch, from: number, to: number, any: Any): Sureness => {
  const asked =
    any('question', from, to) || read.clean.slice(read.tokens[match.to - 1]?.end ?? 0).includes('?');
  if (!asked || !any('medicine', from, to) || toldAsNow(from, to, any) || any('severe', from, to))
    return 'yes';
  if (any('be', match.to, match.to + 1) || any('told-is', from, match.from)) return 'yes';
  const { meaning, items, detail } = match.phrase;
  const alone = items.length === 1 || detail.mild === true || meaning.mother === 'abdominal-pain';
  return mildAches.includes(meaning.mother) && alone && detail.severe !== true ? 'no' : 'maybe';
};

/** "Ab nahi aata" is over; "ab nahi utar raha" is not: a "nahi" that ends the saying ends its clause too. */
const endsThere = (read: ReadText, phrases: DangerPhrases, at: number, is: Is): boolean =>
  (read.startingAt[at] ?? []).some(({ slot, to }) => {
    if (slot !== phrases.slot['well-now']) return false;
    const denials = (read.startingAt[to - 1] ?? []).filter((span) => span.slot === phrases.slot.nahi);
    if (denials.length === 0) return true;
    const end = Math.max(to, ...denials.map((span) => span.to));
    return (read.tokens[end]?.breakBefore ?? 2) > 0 || is(end, 'be') || is(end, 'comes');
  });

const shortWord = (read: ReadText, at: number): boolean => (read.tokens[at]?.word.length ?? 0) < 5;

/** "Headache from the sun, went away": after a comma only a saying of two words or more is an end ("stopped feeding" is none). */
const saidOver = (read: ReadText, phrases: DangerPhrases, at: number): boolean =>
  read.tokens[at]?.breakBefore === 1 &&
  (read.startingAt[at] ?? []).some((span) => span.slot === phrases.slot.over && span.to - span.from > 1);

/** "The fever has gone", "bukhar utar gaya", "had fever, now fine" with no other sign or person named in between. */
const isOver = (
  read: ReadText,
  phrases: DangerPhrases,
  match: PhraseMatch,
  is: Is,
  any: Any,
  others: ReadonlyMap<number, readonly PhraseMatch[]>,
): Sureness => {
  const notNear = (at: number): boolean => {
    for (let next = at - 3; next <= at + 3; next++)
      if (
        next >= match.to - 1 &&
        (is(next, 'not') || is(next, 'nahi')) &&
        !is(next, 'over') &&
        !is(at, 'well-now')
      )
        return true;
    return false;
  };
  // Of milk and urine the ending is the sign itself: "dudh pita tha, ab band".
  const ownEnd = match.phrase.meaning.baby === 'not-feeding' || match.phrase.meaning.baby === 'no-urine';
  const endsIt = (from: number, to: number): boolean =>
    !ownEnd &&
    (read.startingAt[from] ?? []).some((span) => span.slot === phrases.slot.over && span.to > to) &&
    !notNear(from) &&
    !any('again', from, from + 8) &&
    !any('but', from, from + 4);
  const { low, high } = clauseOf(read, match);
  const within = match.spans.length < 3 && any('was', match.from, match.to);
  const around = any('was', Math.max(low, match.from - 3), match.from);
  const past = within || around || any('was', match.to, Math.min(match.to + 5, high));
  if (match.phrase.negatable) {
    const reach = past ? 10 : 3;
    // "Khoon ruk gaya": the word of ending may be one of the phrase.
    if (match.spans.some(({ from, to }) => from > match.from && endsIt(from, to))) return 'no';
    for (let at = match.to; at < match.to + reach && at < read.tokens.length; at++) {
      if (is(at, 'but') || (others.has(at) && !is(at, 'medicine'))) break;
      if (!past && (read.tokens[at]?.breakBefore ?? 0) > 0 && !saidOver(read, phrases, at)) break;
      if (is(at, 'over') && !notNear(at) && !any('again', at, at + 6) && !any('but', at, at + 3)) return 'no';
    }
  }
  // "Sir me dard tha, chai pi kar thik": told as past, and well after it.
  if (past && match.phrase.negatable && !any('was', match.to + 5, match.to + 10)) {
    for (let at = match.to; at < match.to + 10 && at < read.tokens.length; at++) {
      if (is(at, 'but') || is(at, 'again') || is(at, 'mother')) break;
      if (others.has(at) && !is(at, 'medicine')) break;
      if (is(at, 'fine') && !notNear(at)) return 'no';
    }
  }
  let sentences = 0;
  for (let at = match.to; at < read.tokens.length && at < match.to + 14; at++) {
    if (read.tokens[at]?.breakBefore === 2) sentences++;
    const hers = is(at, 'mother') && match.phrase.meaning.baby !== undefined;
    if (sentences > 1 || hers || is(at, 'again')) return 'yes';
    const between = others
      .get(at)
      ?.some((other) => !read.tokens.slice(at, other.to).every((_, i) => is(at + i, 'well-now')));
    if (between === true) return 'yes';
    if (is(at, 'well-now') && endsThere(read, phrases, at, is))
      return sentences === 0 || past ? 'no' : 'maybe';
  }
  return 'yes';
};
