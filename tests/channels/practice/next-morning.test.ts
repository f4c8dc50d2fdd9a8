import { expect, test } from 'vitest';
import { msToNextMorning } from '../../../src/channels/practice/next-morning.ts';

// Offsets are those of the IANA time zone database: Kolkata +05:30 always; London changes on 29 March and 25 October 2026.
test.each([
  ['before nine', '2026-03-02T02:00:30Z', 'Asia/Kolkata', '2026-03-02T03:30:00.000Z'],
  ['at nine', '2026-03-02T03:30:00Z', 'Asia/Kolkata', '2026-03-03T03:30:00.000Z'],
  ['late', '2026-03-02T18:00:00Z', 'Asia/Kolkata', '2026-03-03T03:30:00.000Z'],
  ['when clocks go forward', '2026-03-28T20:00:00Z', 'Europe/London', '2026-03-29T08:00:00.000Z'],
  ['when clocks go back', '2026-10-24T20:00:00Z', 'Europe/London', '2026-10-25T09:00:00.000Z'],
])('the next morning is nine o’clock on her clock: %s', (_name, now, timeZone, morning) => {
  const at = Date.parse(now);
  expect(new Date(at + msToNextMorning(at, timeZone)).toISOString()).toBe(morning);
});
