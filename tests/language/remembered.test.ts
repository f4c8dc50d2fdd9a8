import { expect, it } from 'vitest';
import { recallTexts, rememberedTexts } from '../../src/language/remembered.ts';

it('makes what a short text comes to once', () => {
  let made = 0;
  const read = rememberedTexts((text) => ({ text, nth: ++made }));
  expect([read('9 3 6 4').nth, read('1 1 0').nth, read('9 3 6 4').nth]).toEqual([1, 2, 1]);
});

it('keeps no letter of hers', () => {
  let made = 0;
  const letter = 'my mother in law says that the baby should have some water in this heat, is that so';
  const read = rememberedTexts(() => ++made);
  expect([read(letter), read(letter)]).toEqual([1, 2]);
  const recall = recallTexts<number>();
  expect([recall(letter, 'check-in', () => ++made), recall(letter, 'check-in', () => ++made)]).toEqual([
    3, 4,
  ]);
});

it('never takes what was asked elsewhere for the same', () => {
  const recall = recallTexts<string>();
  const at = (about: string) => recall('1 1 0', about, () => about);
  expect([at('check-in/counts en'), at('check-in/comfort en'), at('check-in/counts hi')]).toEqual([
    'check-in/counts en',
    'check-in/comfort en',
    'check-in/counts hi',
  ]);
  expect(at('check-in/counts en')).toBe('check-in/counts en');
});
