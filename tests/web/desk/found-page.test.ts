import { afterEach, beforeEach, expect, test } from 'vitest';
import { anita, type DeskAtWork, deskAtWork, enrol } from './desk-at-work.ts';
import { grace } from './example-week.ts';

let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  await desk.text(grace, '5 3 6 4');
  for (const words of ['1 1 no', '0', '1 1', '1 1']) await desk.text(grace, words);
});
afterEach(() => desk.close());
const page = () => `/desk/mother/${desk.lineOf(grace)}/0`;

test('what stands out in the answers of the day is told in the language of the desk', async () => {
  const who = await desk.signedIn(anita);
  await who.get(page());
  expect(who.words).toContain('5 feeds in 24 hours (expected: 7 or more).');
  await who.send('/desk/language', { language: 'hi' });
  await who.get(page());
  expect(who.words).toContain('24 घंटे में 5 बार दूध (होना चाहिए: 7 या ज्यादा)।');
  expect(who.words).not.toContain('expected');
  expect(desk.troubles).toEqual([]);
});

test('an answer that she corrected stands in the story of her alert, which stays open', async () => {
  await desk.text(grace, 'sorry 9 not 5');
  const who = await desk.signedIn(anita);
  await who.get(page());
  expect(who.words).toMatch(/She told more: feeds 5 (>|&gt;) 9/);
  expect(who.words).not.toContain('5 feeds in 24 hours');
  expect((await desk.state(grace)).alerts).toEqual([expect.objectContaining({ outcome: null })]);
});
