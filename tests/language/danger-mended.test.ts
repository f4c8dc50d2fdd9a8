import { describe, expect, it } from 'vitest';
import { signsAskedOrTold, signsIn } from './danger-phrases.ts';

// How keypads and hurry change words: common practice, no source.
describe('words as a keypad leaves them', () => {
  it.each([
    ['babynotfeeding', 'baby not-feeding'],
    ['BABYNOTDRINKINGMILK', 'baby not-feeding'],
    ['bachadudhnahipiraha', 'baby not-feeding'],
    ['बच्चादूधनहींपीरहा', 'baby not-feeding'],
    ['mybabynotwakingup', 'baby lethargy'],
    ['babyhavinghighfeversincemorning', 'baby fever'],
    ['c4nt w4ke him up', 'baby lethargy'],
    ['b8by n0t dr1nking', 'baby not-feeding'],
    ['f3ver high baby', 'baby fever'],
  ])('are read in "%s"', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });

  it.each([
    'feeds9wet6stools3',
    'feeds8wet5poop3',
    '3kg200g',
    'Chandrashekharnagar',
    'thankyousomuchsister',
    'babyisdoingwell',
    '😀😀 ok',
    'vajan3kilo',
  ])('alarm nobody in "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it('keep a number that is a number', () => {
    expect(signsIn('baby temp 39.2 fever')).toContain('baby fever');
  });
});
