import { isIP } from 'node:net';
import { good, type LookedAt, mend } from './looked-at.ts';

const what = 'public address';

/** Networks that nobody reaches from outside. Sources: RFC 1918, RFC 3927, RFC 6598 and RFC 1122. */
const inside =
  /^(0|10|127|169\.254|192\.168|172\.(1[6-9]|2\d|3[01])|100\.(6[4-9]|[7-9]\d|1[01]\d|12[0-7]))\./;
/** Names that no public server has. Sources: RFC 6761 and RFC 6762; `.internal` is reserved by ICANN, 2024. */
const insideNames = /(^|\.)(localhost|local|internal|test|example|invalid)$/;

/**
 * Whether the carrier can reach the address. It calls by name or number from outside, and will not call back to a host with an
 * underscore. The signature covers the address letter by letter, so nothing may stand behind the path.
 */
export function publicAddress(publicUrl: string): LookedAt {
  const { protocol, hostname, search, hash, username } = new URL(publicUrl);
  const host = hostname.replace(/^\[|\]$/g, '');
  const isInside =
    insideNames.test(host) ||
    (isIP(host) === 4 && inside.test(host)) ||
    (isIP(host) === 6 && /^(::1?$|f[cd]|fe[89ab])/i.test(host));
  const wrong = [
    ...(protocol === 'https:' ? [] : ['it must begin with https://, since what mothers write passes there']),
    ...(isInside
      ? [`"${host}" cannot be reached from outside; use a name that the whole world can ask for`]
      : []),
    ...(host.includes('_') ? ['the carrier calls no host with an underscore in its name'] : []),
    ...(search === '' && hash === '' ? [] : ['nothing may follow the path: no ? and no #']),
    ...(username === '' ? [] : ['take the name and password out of it']),
  ];
  return wrong.length === 0
    ? good(what, publicUrl)
    : mend(what, `PUBLIC_URL is ${publicUrl}, but ${wrong.join('; ')}.`);
}
