import type { SignCode, SignDetail } from '../../care/signs.ts';
import type { DangerReading, SignReading } from '../danger-reading.ts';
import type { DangerPhrases, SignMeaning } from './compile-danger.ts';
import { byToken, negations, startsAt } from './negations.ts';
import { OthersSigns } from './others-signs.ts';
import { type PhraseMatch, phraseMatches } from './phrase-matches.ts';
import type { ReaderSlot } from './reader-slots.ts';
import { type Around, asksOrSupposes, sureness } from './sureness.ts';
import { type ReadText, type Span, textSpans } from './text-spans.ts';
import { reassured } from './reassured.ts';
import { soundsWorried } from './sounds-worried.ts';
import { toldFigures, toldHours } from './told-figures.ts';
import { ofAche, torn } from './torn-not.ts';
import { namedClose, whoseSign } from './whose-sign.ts';

/** Fever from 37.5 C under the arm and cold under 35.5 C, as for young infants. Source: WHO IMCI (2014, 2019), PNC (2022). */
const FEVER_C = 37.5;
const COLD_C = 35.5;
/** The lowest count that is fast at any age here, and the highest that is too slow. Source: WHO IMCI (2014). */
const FAST_BREATHS = 40;
const SLOW_BREATHS = 30;
/** From here a count is fast for any baby under a year; between is asked about. Source: WHO IMCI (2014). */
const SURELY_FAST_BREATHS = 50;

const isFever = ({ baby, mother }: SignMeaning): boolean => baby === 'fever' || mother === 'maternal-fever';

/** Signs of a baby alone that "my hands are cold", "my lips are dry" and "my tummy is big" do not tell of. */
const isOfHerBody = ({ baby, mother }: SignMeaning): boolean =>
  mother === undefined && ['cold', 'dehydration', 'swollen-belly'].includes(baby ?? '');

/**
 * Signs that are asked about when told as slight: slightly cold hands are usual in a newborn baby (common practice, no
 * source), "drank a little less" is not yet "much less than usual" (WHO IMCI 2014), "a little sleepy" is not hard to wake, and only a severe headache is in the rules.
 */
const isSlight = ({ phrase: { meaning, detail, negatable } }: PhraseMatch): boolean =>
  meaning.baby === 'cold' ||
  (meaning.baby === 'persistent-vomiting' && negatable) ||
  (meaning.baby === 'lethargy' && negatable) ||
  (detail.mild === true && (meaning.baby === 'not-feeding' || meaning.mother === 'headache-vision'));

/**
 * All danger signs told in a text, in every language at once; certain, or `sure: false` where the words are there but
 * their sense is not clear. Never throws; any length.
 */
export const readDanger = (text: string, phrases: DangerPhrases): DangerReading => {
  const read = textSpans(text, phrases);
  // Most answers are whole figures and nothing that any saying has: a phrase needs a saying, a figure its word or a decimal.
  const isBare = read.present.size === 0 && read.tokens.every(({ number }) => isWhole(number));
  if (isBare) return { signs: [], worried: false };
  const plain = phraseMatches(
    read,
    phrases,
    (phrase) => phrase.negatable,
    () => true,
  ).filter((match) => !torn(read, phrases, match));
  const denied = negations(read, phrases, plain);
  const withNot = phraseMatches(
    read,
    phrases,
    (phrase) => !phrase.negatable,
    (span, phrase) => {
      if (denied.spent.has(span.from) && isNotWord(read, phrases, span)) return false;
      if (span.slot !== phrases.slot.not && span.slot !== phrases.slot.nahi) return true;
      return !denied.lasting.has(span.from) || phrase.items[0]?.includes(span.slot) !== true;
    },
  );
  const found = new FoundSigns(read, phrases);
  const all = [
    ...plain,
    ...withNot.filter((match) => !torn(read, phrases, match) && !ofAche(read, phrases, match)),
  ];
  const others = byToken(all, (match) => match.from);
  const asks = asksOrSupposes(read, phrases);
  for (const match of all)
    if (!match.phrase.alone || standsAlone(read, phrases, match))
      found.phrase(match, { undone: denied.undone.has(match), others, asks });
  found.figures();
  const signs = found.all();
  return { signs, worried: signs.length === 0 && soundsWorried(read, phrases, all) };
};

const isWhole = (number: number | undefined): boolean => number === undefined || Number.isInteger(number);

/** True for a "no" that stands alone, whether a phrase names it by its slot or as a word. */
const isNotWord = (read: ReadText, phrases: DangerPhrases, span: Span): boolean =>
  span.to - span.from === 1 &&
  (startsAt(read, phrases, span.from, 'not') || startsAt(read, phrases, span.from, 'nahi'));

/** "Neela", "bachcha dudh nahi h": nothing else is said. */
const standsAlone = (read: ReadText, phrases: DangerPhrases, { from, to }: PhraseMatch): boolean =>
  read.tokens.length <= to - from + 3 &&
  read.tokens.every(
    (_, at) =>
      (at >= from && at < to) ||
      startsAt(read, phrases, at, 'baby') ||
      startsAt(read, phrases, at, 'be') ||
      startsAt(read, phrases, at, 'has-word'),
  );

class FoundSigns {
  readonly #read: ReadText;
  readonly #phrases: DangerPhrases;
  readonly #others: OthersSigns;
  readonly #signs = new Map<string, SignReading>();

  constructor(read: ReadText, phrases: DangerPhrases) {
    this.#read = read;
    this.#phrases = phrases;
    this.#others = new OthersSigns(read, phrases);
  }

  #has(name: ReaderSlot): boolean {
    return this.#read.present.has(this.#phrases.slot[name]);
  }

  #is(at: number, name: ReaderSlot): boolean {
    return startsAt(this.#read, this.#phrases, at, name);
  }

  #near(match: PhraseMatch, name: ReaderSlot): boolean {
    if (!this.#has(name)) return false;
    const own = (at: number): boolean => match.spans.some((span) => span.from <= at && at < span.to);
    for (let at = Math.max(0, match.from - 3); at < match.to + 3; at++)
      if (this.#is(at, name) && !(name === 'mild' && own(at))) return true;
    return false;
  }

  /** "Saas ko", "सास की साँस": the word after a person's says that the sign is that person's. */
  #givesAway(at: number): boolean {
    return this.#is(at, 'dative') || (this.#is(at, 'has-word') && this.#is(at + 1, 'breath'));
  }

  /** "Less every day, pads twice": words that hint at a sign only together, in two parts of a sentence. */
  #acrossComma({ spans, from, to }: PhraseMatch): boolean {
    if (spans.length !== 2) return false;
    for (let at = from + 1; at < to; at++)
      if (this.#read.tokens[at]?.breakBefore === 1 && !spans.some((span) => span.from < at && at < span.to))
        return true;
    return false;
  }

  /** "So hot, baby sweating": only a comma joins the word of a sign to the baby, so it may be the day's. */
  #namedApart({ spans }: PhraseMatch): boolean {
    const [first, second] = spans;
    if (first === undefined || second === undefined || spans.length > 2 || second.from < first.to)
      return false;
    return this.#is(second.from, 'baby') && this.#read.tokens[second.from]?.breakBefore === 1;
  }

  /** "Temperature 36.8" names no fever, though "temperature" alone does. */
  #usualTemperature(): boolean {
    const told = toldFigures(this.#read, this.#phrases).filter(({ kind }) => kind === 'temperature');
    return told.length > 0 && told.every(({ value }) => value < FEVER_C && value >= COLD_C);
  }

  phrase(match: PhraseMatch, around: Around): void {
    const ofHeat =
      this.#is(match.from, 'temperature-word') || (match.phrase.unsure && isFever(match.phrase.meaning));
    if (ofHeat && this.#usualTemperature()) return;
    // "Saas ko" is the mother-in-law, though "saas" is breath too.
    if (match.spans.some((span) => this.#is(span.from, 'other-person') && this.#givesAway(span.to))) return;
    const { phrase } = match;
    const { meaning } = phrase;
    const sureFor = sureness(this.#read, this.#phrases, match, around);
    if (sureFor === 'no') return;
    if (phrase.unsure && this.#acrossComma(match)) return;
    const hours =
      meaning.baby === 'no-urine' ? toldHours(this.#read, this.#phrases, match.from, match.to) : undefined;
    const detail: SignDetail = {
      ...phrase.detail,
      ...(hours === undefined ? {} : { hours }),
      ...(this.#near(match, 'severe') ? { severe: true } : {}),
      ...(phrase.detail.severe !== true && this.#near(match, 'mild') ? { mild: true } : {}),
    };
    const told = whoseSign(this.#read, this.#phrases, match.from, match.to);
    const whose = meaning.whoever && told !== 'other' ? meaning.unknown : told;
    if (whose === 'other' && this.#others.atPeace(match)) return;
    if (told === 'mother' && isOfHerBody(meaning) && this.#is(match.from - 1, 'own')) return;
    const apart = this.#namedApart(match);
    if (apart && this.#has('fine')) return;
    const slight = this.#near(match, 'mild') && !this.#near(match, 'severe') && isSlight(match);
    if (slight && meaning.baby === 'persistent-vomiting' && this.#has('fine')) return;
    const comfort = reassured(this.#read, this.#phrases, match);
    if (comfort === 'lighter') return;
    let sure =
      sureFor === 'yes' && comfort === 'no' && whose !== 'other' && !phrase.unsure && !slight && !apart;
    const who = whose === 'other' || whose === 'unknown' || whose === 'both' ? meaning.unknown : whose;
    const { baby, mother } = meaning;
    // Both are spoken of and neither close by: the other one's sign is asked about too.
    if (baby !== undefined && mother !== undefined && this.#has('baby') && this.#has('mother')) {
      if (!namedClose(this.#read, this.#phrases, match.from, match.to)) {
        if (who === 'baby') this.#add(mother, 'mother', false, match, detail);
        if (who === 'mother') this.#add(baby, 'baby', false, match, detail);
      }
    }
    if (who !== 'mother' && baby !== undefined) {
      if (who === 'both' && mother !== undefined && mother !== baby) sure = false;
      this.#add(baby, 'baby', sure, match, detail);
    } else if (who === 'mother' && mother === undefined && baby !== undefined)
      this.#add(baby, 'baby', false, match, detail);
    if (who !== 'baby' && mother !== undefined)
      this.#add(mother, 'mother', who === 'both' ? false : sure, match, detail);
    else if (who === 'baby' && baby === undefined && mother !== undefined)
      this.#add(mother, 'mother', false, match, detail);
  }

  figures(): void {
    for (const figure of toldFigures(this.#read, this.#phrases)) {
      const whose = whoseSign(this.#read, this.#phrases, figure.from, figure.to);
      const at = { from: figure.from, to: figure.to };
      if (figure.kind === 'breaths') {
        if (figure.value < FAST_BREATHS && figure.value > SLOW_BREATHS) continue;
        const usual = figure.value > SLOW_BREATHS && figure.value < SURELY_FAST_BREATHS;
        if (whose === 'other' || (usual && this.#has('fine'))) continue;
        this.#add('fast-breathing', 'baby', !usual, at, { breathsPerMinute: figure.value });
        continue;
      }
      const detail = { temperatureC: figure.value };
      if (figure.value >= FEVER_C) {
        const sure = whose === 'baby' || whose === 'mother';
        if (whose !== 'mother') this.#add('fever', 'baby', sure, at, detail);
        if (whose !== 'baby') this.#add('maternal-fever', 'mother', sure, at, detail);
      } else if (figure.value < COLD_C && whose !== 'mother')
        this.#add('cold', 'baby', whose === 'baby', at, detail);
    }
  }

  #add(
    code: SignCode,
    who: 'mother' | 'baby',
    sure: boolean,
    at: { from: number; to: number },
    detail: SignDetail,
  ): void {
    const key = `${who} ${code}`;
    const before = this.#signs.get(key);
    const start = this.#read.tokens[at.from]?.start ?? 0;
    const end = this.#read.tokens[at.to - 1]?.end ?? start;
    const matched = this.#read.clean.slice(start, end).replace(/\s+/gu, ' ');
    if (before === undefined) {
      this.#signs.set(key, { code, who, sure, matched, detail });
      return;
    }
    const { mild, ...rest } = { ...before.detail, ...detail };
    const stillMild = mild === true && before.detail.mild === true && detail.mild === true;
    this.#signs.set(key, {
      code,
      who,
      sure: before.sure || sure,
      matched: before.sure || !sure ? before.matched : matched,
      detail: stillMild ? { ...rest, mild } : rest,
    });
  }

  all(): readonly SignReading[] {
    return [...this.#signs.values()];
  }
}
