import { describe, expect, it } from 'vitest';
import { retryAfterOf } from '../../../src/channels/twilio/carrier-error.ts';
import { faultOf } from '../../../src/channels/twilio/carrier-faults.ts';

describe('what the carrier`s error numbers mean', () => {
  // Source: the carrier's error and warning dictionary; 21211, 21614, 21610, 30005 and 30007 from memory.
  it.each([
    [20429, 'busy'],
    [21611, 'busy'],
    [30001, 'busy'],
    [30003, 'unreachable'],
    [30005, 'wrong-number'],
    [21211, 'wrong-number'],
    [21614, 'landline'],
    [30006, 'landline'],
    [21610, 'opted-out'],
    [30007, 'refused'],
    [30036, 'too-late'],
    [21408, 'set-up'],
    [20003, 'set-up'],
    [30500, 'passing'],
    [39_999, 'unknown'],
    [undefined, 'unknown'],
  ] as const)('%s is %s', (code, fault) => expect(faultOf(code)).toBe(fault));

  it('goes by the HTTP status where it does not know the number', () => {
    expect(faultOf(undefined, 429)).toBe('busy');
    expect(faultOf(12_345, 429)).toBe('busy');
    expect(faultOf(12_345, 500)).toBe('passing');
    expect(faultOf(undefined, 401)).toBe('set-up');
    expect(faultOf(12_345, 400)).toBe('unknown');
  });
});

describe('Retry-After', () => {
  const now = Date.parse('2026-11-06T08:49:00Z');
  // Source of both forms and of the date: RFC 9110, sections 10.2.3 and 5.6.7.
  it.each([
    ['12', 12_000],
    ['0', 0],
    ['Fri, 06 Nov 2026 08:49:37 GMT', 37_000],
    ['Fri, 06 Nov 2026 08:48:37 GMT', 0],
    ['86400', 60_000],
    ['soon', undefined],
    ['', undefined],
    [undefined, undefined],
  ])('%s is %s ms', (header, ms) => expect(retryAfterOf(header, now)).toBe(ms));
});
