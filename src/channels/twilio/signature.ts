import { createHmac, createSecretKey, timingSafeEqual } from 'node:crypto';
import { validateRequest } from 'twilio/lib/webhooks/webhooks.js';

/** What of a request the carrier signs. */
export interface SignedRequest {
  /** The address as the carrier called it, with the query, without a fragment. */
  readonly url: string;
  readonly fields: Readonly<Record<string, string | readonly string[] | undefined>>;
  /** The header `X-Twilio-Signature`, when there is one. */
  readonly signature: string | undefined;
}

/** Shortest secret accepted: with an empty one everybody could sign. */
const minTokenLength = 16;

/**
 * Makes the check that a request was signed with the account's secret. The check never throws: what cannot be read is
 * not signed.
 *
 * The SDK tries the address in up to six spellings. The address as it is, is always one of them, and what the carrier signed:
 * it is tried first, by the same rule; only what does not match goes to the SDK, whose word is the last.
 * @throws RangeError when the secret is shorter than 16 characters
 */
export function signatureCheck(authToken: string): (request: SignedRequest) => boolean {
  if (authToken.length < minTokenLength) {
    throw new RangeError(`The carrier's auth token must have at least ${minTokenLength} characters.`);
  }
  const key = createSecretKey(authToken, 'utf8');
  return ({ url, fields, signature }) => {
    if (signature === undefined || signature === '') return false;
    const signed = signedWords(url, fields);
    if (signed !== undefined) {
      const expected = createHmac('sha1', key).update(signed, 'utf8').digest('base64');
      if (isSame(signature, expected)) return true;
    }
    try {
      return validateRequest(authToken, signature, url, fields);
    } catch {
      // The SDK parses the address after a first mismatch and throws on one that is no address at all.
      return false;
    }
  };
}

/** The address, then each name with its value in order of the names; undefined where a field is there twice. */
function signedWords(url: string, fields: SignedRequest['fields']): string | undefined {
  let words = url;
  for (const name of Object.keys(fields).sort()) {
    const value = fields[name];
    if (typeof value !== 'string') return undefined;
    words += name + value;
  }
  return words;
}

/** In the same time wherever they differ; both as bytes, since letters beyond ASCII would make the lengths differ. */
function isSame(given: string, expected: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(expected)];
  return a.length === b.length && timingSafeEqual(a, b);
}
