import { expect, it } from 'vitest';
import { readDanger } from '../../src/language/danger/index.ts';
import { phrases } from './danger-phrases.ts';

const told = (text: string, code: string) =>
  readDanger(text, phrases).signs.find((sign) => sign.code === code)?.detail;

/** Redness that spreads to the skin is severe. Source: WHO IMCI young infant chart (2014, 2019). */
it.each([
  'the navel is red and it is spreading to the tummy',
  'nabhi se peep aa rahi h aur charo taraf lal h',
  'बेंबी लाल आहे आणि लाली भोवती पसरते',
  'bembi lal zali ani lali potavar pasartey',
])('%s: the redness spreads', (text) => {
  expect(told(text, 'cord-skin-infection')).toMatchObject({ severe: true });
});

it('does not take a dry cord for one that spreads', () => {
  expect(readDanger('नाल सूखी है, चारों ओर साफ', phrases).signs).toEqual([]);
});

/** A day without urine told in words is 24 hours: the rule on no urine needs the figure. */
it.each(['चौबीस घंटे से पेशाब नहीं', 'kal is samay se susu nahi kiya', 'chovis tasat ekdahi laghvi nahi'])(
  '%s: 24 hours',
  (text) => {
    expect(told(text, 'no-urine')).toMatchObject({ hours: 24 });
  },
);

it.each(['पेट में इतनी मरोड़ कि चीख निकलती है', 'pet me itni marod ki chillati hu'])('%s: severe', (text) => {
  expect(told(text, 'abdominal-pain')).toMatchObject({ severe: true });
});
