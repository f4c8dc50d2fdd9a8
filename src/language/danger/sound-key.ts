const CONSONANTS: Readonly<Record<string, string>> = {
  क: 'k',
  ख: 'kh',
  ग: 'g',
  घ: 'gh',
  ङ: 'n',
  च: 'ch',
  छ: 'chh',
  ज: 'j',
  झ: 'jh',
  ञ: 'n',
  ट: 't',
  ठ: 'th',
  ड: 'd',
  ढ: 'dh',
  ण: 'n',
  त: 't',
  थ: 'th',
  द: 'd',
  ध: 'dh',
  न: 'n',
  प: 'p',
  फ: 'ph',
  ब: 'b',
  भ: 'bh',
  म: 'm',
  य: 'y',
  र: 'r',
  ल: 'l',
  ळ: 'l',
  व: 'v',
  श: 'sh',
  ष: 'sh',
  स: 's',
  ह: 'h',
};
const VOWELS: Readonly<Record<string, string>> = {
  अ: 'a',
  आ: 'a',
  इ: 'i',
  ई: 'i',
  उ: 'u',
  ऊ: 'u',
  ऋ: 'ri',
  ए: 'e',
  ऐ: 'ai',
  ओ: 'o',
  औ: 'au',
  ऑ: 'o',
  ऍ: 'e',
};
const SIGNS: Readonly<Record<string, string>> = {
  'ा': 'a',
  'ि': 'i',
  'ी': 'i',
  'ु': 'u',
  'ू': 'u',
  'ृ': 'ri',
  'े': 'e',
  'ै': 'ai',
  'ो': 'o',
  'ौ': 'au',
  'ॉ': 'o',
  'ॅ': 'e',
};
const HALANT = '्';
const isVowel = (letter: string | undefined): boolean => letter !== undefined && 'aeiou'.includes(letter);

/** True for a word in Devanagari letters. */
export const isDevanagari = (word: string): boolean => /[\u0900-\u097F]/u.test(word);

/** A Devanagari word in Latin letters as a mother would type it: the unwritten last 'a' is not said. */
const latinSpelling = (word: string): string => {
  const letters = [...word.normalize('NFD').replace(/\u093C/gu, '')];
  let out = '';
  letters.forEach((letter, at) => {
    const consonant = CONSONANTS[letter];
    const next = letters[at + 1];
    if (consonant !== undefined) {
      const silent = next === HALANT || next === undefined || SIGNS[next] !== undefined;
      out += silent ? consonant : `${consonant}A`;
    } else if (letter === 'ं' || letter === 'ँ') out += at === letters.length - 1 ? '' : 'n';
    else out += VOWELS[letter] ?? SIGNS[letter] ?? (/[a-z]/u.test(letter) ? letter : '');
  });
  // An unwritten 'a' between a vowel-consonant and a consonant-vowel is not said either: निकलना is "nikalna".
  return out.replace(/([aeiou][^aeiouA]+)A([^aeiouA]+[aeiou])/gu, '$1$2').replace(/A/gu, 'a');
};

/** An 'a' that keypads leave out at the start: "rha", "gya", "skti" are raha, gaya, sakti. */
const LEFT_OUT = /^(r|g|s)(h[aei]|y[aie]|kt[aei])$/u;

/** True for a short word whose first 'a' a keypad left out, as in "rha". */
export const leavesOutA = (word: string): boolean => LEFT_OUT.test(word);

/**
 * How a word sounds, whatever its script and spelling: long and short vowels, breathed and plain consonants, v and w,
 * ph and f, z and j, sh and s fall together. Made for Hindi and Marathi words, typed in either script.
 */
export const soundKey = (word: string): string => {
  let key = isDevanagari(word) ? latinSpelling(word) : word.replace(LEFT_OUT, '$1a$2');
  key = key
    .replace(/ph/gu, 'f')
    .replace(/ck/gu, 'k')
    .replace(/chh?/gu, 'c')
    .replace(/x/gu, 'ks')
    .replace(/q/gu, 'k')
    .replace(/sh/gu, 's')
    .replace(/([bdgjkt])h/gu, '$1')
    .replace(/w/gu, 'v')
    .replace(/z/gu, 'j')
    .replace(/(?:ee|ea|ie|y)/gu, 'i')
    .replace(/(?:oo|ou|o)/gu, 'u')
    .replace(/(?:ai|ay|ei)/gu, 'e')
    .replace(/au/gu, 'u')
    .replace(/e/gu, 'i')
    .replace(/m(?=[bp])/gu, 'n')
    .replace(/(.)\1+/gu, '$1');
  if (key.length > 3 && key.endsWith('h')) key = key.slice(0, -1);
  if (key.length > 4 && key.endsWith('n') && isVowel(key[key.length - 2])) key = key.slice(0, -1);
  return key;
};

/**
 * A word as its script tells it, in Latin letters: breathed apart from plain ("jhag" from "jag"), o from u ("jor" from "jur"),
 * only the length of vowels and spellings of one sound put alike. What a rightly written word has in common with itself in
 * the other script.
 */
export const spelledSound = (word: string): string =>
  (isDevanagari(word) ? latinSpelling(word) : word)
    .replace(/m(?=[bp])/gu, 'n')
    .replace(/chh/gu, 'ch')
    .replace(/f/gu, 'ph')
    .replace(/w/gu, 'v')
    .replace(/z/gu, 'j')
    .replace(/x/gu, 'ks')
    .replace(/ck|q/gu, 'k')
    .replace(/ee|ea|ii/gu, 'i')
    .replace(/oo|uu/gu, 'u')
    .replace(/y(?=[aeiou]|$)/gu, '')
    .replace(/(.)\1+/gu, '$1');

/** The consonants of a sound key with its first letter: what is left of a word typed without vowels. */
export const consonantKey = (key: string): string => key.slice(0, 1) + key.slice(1).replace(/[aiu]/gu, '');

const ENDINGS =
  /(?:rahi|raha|ita|iti|tui|tai|ata|ati|atu|acia|aca|aci|ala|ali|alu|ila|ili|anca|anci|ana|ani|asati|madi|var|tun|sati|kar|cia|ta|ti|tu|na|ni|nu|la|li|lu|ca|ci|vi|va|in|un|ia|iu|c|t|i|a|u)$/u;

/** A sound key without one or two of the endings that Hindi and Marathi words take: "pitac" is "pita", kept to 4 letters. */
export const soundStem = (key: string): string => {
  let stem = key;
  for (let times = 0; times < 2; times++) {
    const shorter = stem.replace(ENDINGS, '');
    if (shorter.length < 4) break;
    stem = shorter;
  }
  return stem;
};
