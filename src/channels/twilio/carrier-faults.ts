import type { CarrierFault } from '../carrier.ts';

/**
 * What the carrier's error numbers mean for a message, refused at once or reported later. One table for both.
 * Source: the carrier's published error and warning dictionary. Read there: 20429, 21601, 21608, 21611, 21900, 21901, 30001, 30003,
 * 30006, 30021, 30036, 30500, 14107, 32018. From third parties or from memory, and so to be watched in the log: all the others.
 */
const faults: ReadonlyMap<number, CarrierFault> = new Map([
  // Too much at once: this account's queue or its requests.
  [20429, 'busy'],
  [21611, 'busy'],
  [30001, 'busy'],
  // The carrier's own trouble.
  [20500, 'passing'],
  [20503, 'passing'],
  [30021, 'passing'],
  [30500, 'passing'],
  // Handset off or without signal.
  [30003, 'unreachable'],
  [32016, 'unreachable'],
  // No such number, or one that the networks do not know.
  [21211, 'wrong-number'],
  [21214, 'wrong-number'],
  [21217, 'wrong-number'],
  [30005, 'wrong-number'],
  // A number that takes no texts.
  [21614, 'landline'],
  [30006, 'landline'],
  // She stopped us at the carrier. Never to be got round with another sender.
  [21610, 'opted-out'],
  // Refused for its words or by a network's filter: the same text would be refused again.
  [30004, 'refused'],
  [30007, 'refused'],
  [21617, 'refused'],
  [32018, 'refused'],
  [14107, 'refused'],
  // Not delivered within its time.
  [30036, 'too-late'],
  // The account, its sender, its route or its registration is not in order: no fault of the number.
  [20003, 'set-up'],
  [20404, 'set-up'],
  [21215, 'set-up'],
  [21401, 'set-up'],
  [21408, 'set-up'],
  [21601, 'set-up'],
  [21606, 'set-up'],
  [21608, 'set-up'],
  [21612, 'set-up'],
  [21900, 'set-up'],
  [21901, 'set-up'],
  [30002, 'set-up'],
]);

/**
 * The meaning of an error number; `unknown` for one that is not in the table: it is tried again, with an end to it.
 * @param httpStatus of the refusal, where there was one: 429 is always `busy`, 401 and 403 without a number are `set-up`
 */
export function faultOf(code: number | undefined, httpStatus?: number): CarrierFault {
  const known = code === undefined ? undefined : faults.get(code);
  if (known !== undefined) return known;
  if (httpStatus === 429) return 'busy';
  if (httpStatus === 401 || httpStatus === 403) return 'set-up';
  return httpStatus !== undefined && httpStatus >= 500 ? 'passing' : 'unknown';
}
