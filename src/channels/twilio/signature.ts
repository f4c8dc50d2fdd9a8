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
 * @throws RangeError when the secret is shorter than 16 characters
 */
export function signatureCheck(authToken: string): (request: SignedRequest) => boolean {
  if (authToken.length < minTokenLength) {
    throw new RangeError(`The carrier's auth token must have at least ${minTokenLength} characters.`);
  }
  return ({ url, fields, signature }) => {
    if (signature === undefined || signature === '') return false;
    try {
      return validateRequest(authToken, signature, url, fields);
    } catch {
      // The SDK parses the address after a first mismatch and throws on one that is no address at all.
      return false;
    }
  };
}
