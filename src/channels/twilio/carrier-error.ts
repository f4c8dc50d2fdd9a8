import { CarrierRefused, CarrierUnreachable } from '../../errors.ts';

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

/**
 * What went wrong when the SDK was asked to send, in our own errors. The SDK's error is not kept as the cause: it
 * carries the account's secret, the number and the words.
 */
export function carrierError(what: 'text' | 'call', error: unknown): CarrierRefused | CarrierUnreachable {
  const { status, code } = errorFields(error);
  if (typeof status === 'number') {
    if (typeof code === 'number') {
      return new CarrierRefused(
        `The carrier refused the ${what} (HTTP ${status}, code ${code}).`,
        code,
        status,
      );
    }
    // An answer in no form we know: 4xx came from something that refused; 5xx may have come after the text was taken.
    if (status >= 400 && status < 500) {
      return new CarrierRefused(`The carrier refused the ${what} (HTTP ${status}).`, undefined, status);
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
