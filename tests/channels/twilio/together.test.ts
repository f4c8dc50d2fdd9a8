import { expect, test } from 'vitest';
import { together } from '../../../src/channels/twilio/together.ts';

const nextRound = () => new Promise((resolve) => setImmediate(resolve));

test('what comes in one round of the event loop is done after the last of it, in its order', async () => {
  const withOthers = together();
  const seen: string[] = [];
  withOthers(() => seen.push('first'));
  withOthers(() => seen.push('second'));
  expect(seen).toEqual([]);
  await nextRound();
  expect(seen).toEqual(['first', 'second']);
});

test('what comes while others are done waits for the next round, and is not forgotten', async () => {
  const withOthers = together();
  const seen: string[] = [];
  withOthers(() => {
    seen.push('first');
    withOthers(() => seen.push('later'));
  });
  withOthers(() => seen.push('second'));
  await nextRound();
  expect(seen).toEqual(['first', 'second']);
  await nextRound();
  expect(seen).toEqual(['first', 'second', 'later']);
});
