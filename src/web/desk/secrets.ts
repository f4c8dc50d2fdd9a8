import { createHash, createHmac, randomBytes, randomInt, scrypt, timingSafeEqual } from 'node:crypto';

/** 256 bits, for a cookie. */
export function newToken(): string {
  return randomBytes(32).toString('base64url');
}

/** Six digits, each as likely. */
export function newCode(): string {
  return String(randomInt(1_000_000)).padStart(6, '0');
}

/** A hash that is enough for something that cannot be guessed. Never for a code. */
export function tokenHash(token: string): string {
  return createHash('sha256').update(token).digest('base64url');
}

/** A slow hash, for a code of six digits: a stolen copy of the store must not give it away while it is good. */
export function codeHash(code: string, salt: string): Promise<string> {
  return new Promise((resolve, reject) => {
    scrypt(code, salt, 32, { N: 16_384, r: 8, p: 1 }, (error, key) => {
      if (error === null) resolve(key.toString('base64url'));
      else reject(error);
    });
  });
}

export function isSame(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length === right.length && timingSafeEqual(left, right);
}

/** Proves that a form came from a page that we gave to the holder of `key`. Another one each time, also against guessing by size. */
export function newFormToken(key: string): string {
  const nonce = randomBytes(12).toString('base64url');
  return `${nonce}.${formProof(nonce, key)}`;
}

export function isFormToken(token: string, key: string): boolean {
  const [nonce = '', proof = ''] = token.split('.');
  return nonce !== '' && isSame(proof, formProof(nonce, key));
}

function formProof(nonce: string, key: string): string {
  return createHmac('sha256', `form ${key}`).update(nonce).digest('base64url');
}
