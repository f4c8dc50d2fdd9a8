import { CarrierRefused, CarrierUnreachable } from '../../errors.ts';
import { faultOf } from './carrier-faults.ts';

/** Failures before a connection stood: the request cannot have been accepted. */
const neverLeft: ReadonlySet<unknown> = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'CERT_HAS_EXPIRED',
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'ERR_TLS_CERT_ALTNAME_INVALID',
]);

/** Longest time for which the carrier is believed when it asks to be left alone. */
const longestRetryAfterMs = 60_000;

/**
 * Milliseconds that a `Retry-After` header asks for: seconds, or a date. Undefined when there is none that can be read; never more
 * than a minute. Source: RFC 9110, section 10.2.3.
 */
export function retryAfterOf(header: unknown, now: number): number | undefined {
  if (typeof header !== 'string' || header.trim() === '') return undefined;
  const asked = /^\s*\d+\s*$/.test(header) ? Number(header) * 1000 : Date.parse(header) - now;
  return Number.isNaN(asked) ? undefined : Math.min(Math.max(0, asked), longestRetryAfterMs);
}

/**
 * What went wrong when the SDK was asked to send, in our own errors. The SDK's error is not kept as the cause: it
 * carries the account's secret, the number and the words.
 * @param retryAfterMs what the answer's `Retry-After` asked for
 */
export function carrierError(
  what: 'text' | 'call' | 'question',
  error: unknown,
  retryAfterMs?: number,
): CarrierRefused | CarrierUnreachable {
  const { status, code } = errorFields(error);
  if (typeof status === 'number') {
    const more = (known: number | undefined) => ({ fault: faultOf(known, status), retryAfterMs });
    if (typeof code === 'number') {
      const words = `The carrier refused the ${what} (HTTP ${status}, code ${code}).`;
      return new CarrierRefused(words, code, status, more(code));
    }
    // An answer in no form we know: 4xx came from something that refused; 5xx may have come after the text was taken.
    if (status >= 400 && status < 500) {
      const words = `The carrier refused the ${what} (HTTP ${status}).`;
      return new CarrierRefused(words, undefined, status, more(undefined));
    }
    return new CarrierUnreachable(`The carrier gave no clear answer to the ${what} (HTTP ${status}).`, true);
  }
  const network = typeof code === 'string' && /^[A-Z_0-9]{1,40}$/.test(code) ? code : 'unknown';
  return new CarrierUnreachable(
    `The carrier did not answer to the ${what} (${network}).`,
    !neverLeft.has(code),
  );
}

function errorFields(error: unknown): { readonly status: unknown; readonly code: unknown } {
  if (typeof error !== 'object' || error === null) return { status: undefined, code: undefined };
  return {
    status: 'status' in error ? error.status : undefined,
    code: 'code' in error ? error.code : undefined,
  };
}
