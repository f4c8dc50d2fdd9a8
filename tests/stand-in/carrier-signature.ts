import { createHmac } from 'node:crypto';

/**
 * The carrier's signature, written anew from its published rule and not with the SDK: HMAC-SHA1 over the address followed
 * by each field's name and value, fields sorted by name, in Base64. Source: the carrier's page on webhook security, from
 * memory; the vector in `signature.test.ts` was made with another library.
 */
export function carrierSignature(
  token: string,
  url: string,
  fields: readonly (readonly [string, string])[],
): string {
  const sorted = [...new Set(fields.map(([name]) => name))].sort().flatMap((name) => {
    const values = [...new Set(fields.filter(([other]) => other === name).map(([, value]) => value))].sort();
    return values.map((value) => name + value);
  });
  return createHmac('sha1', token)
    .update(url + sorted.join(''), 'utf8')
    .digest('base64');
}
