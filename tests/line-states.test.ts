import { expect, test } from 'vitest';
import { type LineId, newLine } from '../src/dialog/line.ts';
import { openLineStates } from '../src/line-states.ts';

const one = 'one' as LineId;
const two = 'two' as LineId;
/** From Ofcom's range for fiction. */
const line = newLine('+447700900123', 'en');
const text = JSON.stringify(line);

test('gives the state that was kept, as long as its text is the one that is stored', () => {
  const states = openLineStates();
  states.keep(one, text, line);
  expect(states.of(one, String(JSON.stringify(line)))).toBe(line);
  // Another process has written meanwhile.
  const other = JSON.stringify({ ...line, turns: 7 });
  expect(states.of(one, other).turns).toBe(7);
  expect(states.of(one, text)).toEqual(line);
  expect(states.of(one, text)).not.toBe(line);
});

test('never gives the state of one line for another', () => {
  const states = openLineStates();
  states.keep(one, text, line);
  expect(states.of(two, text)).not.toBe(line);
});

test('lets go of the line not used for longest, by the length of what is held', () => {
  const states = openLineStates(2 * text.length);
  states.keep(one, text, line);
  states.keep(two, text, line);
  states.of('three' as LineId, text);
  expect(states.of(two, text)).toBe(line);
  expect(states.of(one, text)).not.toBe(line);
  const small = openLineStates(10);
  small.keep(one, text, line);
  expect(small.of(one, text)).toEqual(line);
});
