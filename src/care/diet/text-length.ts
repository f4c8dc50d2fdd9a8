/**
 * Letters of the GSM 7-bit default alphabet, and those of its extension, which take two places.
 * Source: 3GPP TS 23.038, section 6.2.1 (Greek letters and a few rarely typed ones left out on purpose: target phones differ).
 */
const basic =
  '@£$¥èéùìòÇ\nØø\rÅåÆæßÉ !"#¤%&\'()*+,-./0123456789:;<=>?¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà_';
const extended = '^{}\\[~]|€';

/** True when every letter is in the 7-bit alphabet of texts. */
export const isSevenBit = (text: string): boolean =>
  [...text].every((letter) => basic.includes(letter) || extended.includes(letter));

/** Places that a text takes: septets when it is 7-bit, else UCS-2 units. */
export const textLength = (text: string): number =>
  isSevenBit(text)
    ? [...text].reduce((sum, letter) => sum + (extended.includes(letter) ? 2 : 1), 0)
    : text.length;
