import { parsePhoneNumberFromString } from 'libphonenumber-js';
import type { Content } from '../dialog/world.ts';
import { readAnswer } from '../language/answers/index.ts';
import { plainWords } from './counsellor-words.ts';

/** What a counsellor keyed in for a mother: who is to be asked, and what need not be asked again. */
export interface EnrolText {
  readonly kind: 'enrol';
  readonly phone: string;
  /** Calendar day, YYYY-MM-DD. */
  readonly bornOn: string;
  readonly birthWeightGrams: number;
  readonly language: string;
}

/** What could not be read for sure: nothing is guessed of somebody who cannot be asked. */
export interface EnrolUnclear {
  readonly kind: 'unclear';
  readonly what: 'nothing' | 'phone' | 'born' | 'weight' | 'language';
}

/** The line is for babies up to two years: see `oldestAgeDays` of the check-in rhythm. */
const oldestDays = 730;

/**
 * Reads "+447700900123 5 Nov 2.9 en": number, birthday, birth weight, language, in this order.
 * @param ownPhone of the counsellor: a number without a country is one of hers
 * @param today YYYY-MM-DD
 */
export function readEnrolText(
  rest: string,
  ownPhone: string,
  today: string,
  content: Pick<Content, 'answerWords' | 'wording' | 'languages'>,
): EnrolText | EnrolUnclear {
  const words = rest.split(/[\s,;]+/).filter((w) => w !== '');
  if (words.length === 0) return { kind: 'unclear', what: 'nothing' };
  const number = numberAtStart(words, ownPhone);
  if (number === undefined) return { kind: 'unclear', what: 'phone' };
  const language = languageNamed(words.at(-1) ?? '', content);
  if (language === undefined) return { kind: 'unclear', what: 'language' };
  const middle = words.slice(number.words, -1);
  let sawWeight = false;
  // The longest day first: the weight is the end that is left.
  for (let cut = middle.length - 1; cut >= 1; cut--) {
    // "31 Feb 2.9" must not become the 31st and a weight with a word too many.
    if (!/^\p{Nd}/u.test(middle[cut] ?? '')) continue;
    const weight = readAnswer(
      middle.slice(cut).join(' '),
      { kind: 'weight', minGrams: 500, maxGrams: 6000 },
      content.answerWords,
      { today },
    );
    if (weight.kind !== 'read' || !weight.sure || !weight.inRange || weight.answer.kind !== 'weight')
      continue;
    sawWeight = true;
    // A day without a month would be a guess.
    if (cut === 1 && /^\p{Nd}{1,2}$/u.test(middle[0] ?? '')) continue;
    const born = readAnswer(
      middle.slice(0, cut).join(' '),
      { kind: 'date', past: true, withinDays: oldestDays },
      content.answerWords,
      { today },
    );
    if (born.kind !== 'read' || !born.sure || !born.inRange || born.answer.kind !== 'date') continue;
    return {
      kind: 'enrol',
      phone: number.phone,
      bornOn: born.answer.date,
      birthWeightGrams: weight.answer.grams,
      language,
    };
  }
  return { kind: 'unclear', what: sawWeight ? 'born' : 'weight' };
}

/** Numbers are often written with spaces: the fewest words that make a whole number. */
function numberAtStart(
  words: readonly string[],
  ownPhone: string,
): { phone: string; words: number } | undefined {
  const defaultCallingCode = parsePhoneNumberFromString(ownPhone)?.countryCallingCode;
  const options = defaultCallingCode === undefined ? {} : { defaultCallingCode };
  const made = words.slice(0, 6).map((_, i) => {
    const written = words.slice(0, i + 1).join('');
    if (!/^\+?[\d()-]{4,20}$/.test(written)) return undefined;
    return { number: parsePhoneNumberFromString(written, options), words: i + 1 };
  });
  const found =
    made.find((m) => m?.number?.isValid() === true) ?? made.find((m) => m?.number?.isPossible() === true);
  if (found?.number === undefined) return undefined;
  return { phone: found.number.number, words: found.words };
}

/** A language by its code, or by one of its own names. */
function languageNamed(
  word: string,
  { wording, languages }: Pick<Content, 'wording' | 'languages'>,
): string | undefined {
  const wanted = plainWords(word);
  const names = (code: string) =>
    [
      code,
      wording.say('language.name', {}, code, 'text'),
      ...wording.say('language.also', {}, code, 'text').split(','),
    ].map(plainWords);
  return (
    languages.find((code) => plainWords(code) === wanted) ??
    languages.find((code) => names(code).includes(wanted))
  );
}
