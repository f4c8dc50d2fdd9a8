/** Folds vowel length, doubled letters and letters that a keypad writer swaps: 'paanch' and 'panch' become one key. */
export function lightFold(word: string): string {
  return word
    .replace(/\u0940/gu, '\u093f')
    .replace(/\u0942/gu, '\u0941')
    .replace(/\u0908/gu, '\u0907')
    .replace(/\u090a/gu, '\u0909')
    .replace(/([\u0915-\u0939])\u094d\1/gu, '$1')
    .replace(/ee|ii/gu, 'i')
    .replace(/oo|uu/gu, 'u')
    .replace(/ph/gu, 'f')
    .replace(/w/gu, 'v')
    .replace(/z/gu, 'j')
    .replace(/q/gu, 'k')
    .replace(/([a-z])\1+/gu, '$1');
}

/** Folds also aspirates, a last h, nasals before a consonant and close vowels: 'chhabbis' and 'cabees' become one key. */
export function heavyFold(word: string): string {
  return lightFold(word)
    .replace(/[\u0902\u0903\u094d]/gu, '')
    .replace(/\u0936|\u0937/gu, '\u0938')
    .replace(/([bcdgjkpt])h+/gu, '$1')
    .replace(/sh/gu, 's')
    .replace(/h$/u, '')
    .replace(/[ae][iy]/gu, 'e')
    .replace(/[ao][uv](?=[^aeiou]|$)/gu, 'o')
    .replace(/y/gu, 'i')
    .replace(/([a-z])\1+/gu, '$1');
}
