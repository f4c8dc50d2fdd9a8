import { createCipheriv, createDecipheriv, createHmac, randomFillSync } from 'node:crypto';
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { LineId } from '../dialog/line.ts';
import { ConfigError, StoreUnavailable } from '../errors.ts';
import { devanagariDictionary, latinDictionary } from './dictionary.ts';

/** One AES-256 key. `id` is written, readable, into every value it seals: 1-16 of A-Z a-z 0-9 _ and -. */
export interface SealingKey {
  readonly id: string;
  /** 32 bytes. */
  readonly key: Uint8Array;
}

/** Seals what could tell who she is or what she said. Safe to share; keeps no record of what passes through. */
export interface Sealer {
  /** `recordId` and `field` are bound to the value: it opens nowhere else. Sealing twice gives two different values. */
  seal(text: string, recordId: string, field: string): Buffer;
  /** The same for bytes, which are not made smaller. */
  sealBytes(bytes: Buffer, recordId: string, field: string): Buffer;
  /** @throws StoreUnavailable when the value was altered, moved, or sealed by a key that is not set */
  open(sealed: Uint8Array, recordId: string, field: string): string;
  /** What `sealBytes` sealed. @throws as `open` */
  openBytes(sealed: Uint8Array, recordId: string, field: string): Buffer;
  /** The same value sealed by the newest key, in the form it has; undefined when that key sealed it. @throws as `open` */
  renew(sealed: Uint8Array, recordId: string, field: string): Buffer | undefined;
  /** Whether a mark was made with the newest key. */
  isNewestMark(mark: string): boolean;
  /** A keyed hash for telling "the same" without saying who: `<key id>.<16 characters>`. Changes when the key is rotated. */
  mark(text: string, recordId: string): string;
}

const asItIs = 1;
const deflatedForm = 2;
/** Deflated with the words of a dictionary as if they had gone before: no longer written, still read. */
const latinForm = 3;
const devanagariForm = 4;
/** From here a text shrinks to a fifth, and what is not written pays for the shrinking. */
const deflateFromBytes = 16_384;
const deflateSettings = { level: 3, memLevel: 5, windowBits: 13, chunkSize: 4_096 } as const;
/** A folded journal repeats itself over more than 8 KB. */
const longDeflateSettings = { level: 3, memLevel: 8, windowBits: 15, chunkSize: 4_096 } as const;
const nonceBytes = 12;
const tagBytes = 16;

/**
 * AES-256-GCM with a random 96-bit nonce and 128-bit tag (NIST SP 800-38D, sections 5.2.1.1, 8.2.2). A sealed value is
 * form (1 byte: 1 as it is, 2 deflated, RFC 1951, 3 and 4 deflated with a dictionary), length of key id (1), key id, nonce (12), ciphertext, tag (16). Form and key
 * id are authenticated too.
 * @param options `deflateFrom`: bytes from which a text is deflated; 16,384 unless told. It saves memory and costs time.
 * @param keys newest first: the first seals, all open. One key may seal 2^32 values (SP 800-38D, section 8.3): rotate yearly.
 * @throws ConfigError naming every bad key; never a key's bytes
 */
export function openSealer(
  keys: readonly SealingKey[],
  { deflateFrom = deflateFromBytes }: { readonly deflateFrom?: number } = {},
): Sealer {
  const newest = checkedKeys(keys);
  const byId = new Map(keys.map(({ id, key }) => [id, Buffer.from(key)]));
  const sealingKey = Buffer.from(newest.key);
  const markingKey = createHmac('sha256', sealingKey).update('eightfeeds mark').digest();
  const shortHead = headOf(asItIs, newest.id);
  const longHead = headOf(deflatedForm, newest.id);
  const nextNonce = noncePool();

  function sealed(head: Buffer, value: Buffer | string, recordId: string, field: string): Buffer {
    const nonce = nextNonce();
    const cipher = createCipheriv('aes-256-gcm', sealingKey, nonce);
    cipher.setAAD(boundTo(head, recordId, field));
    const text = typeof value === 'string' ? cipher.update(value, 'utf8') : cipher.update(value);
    cipher.final();
    return Buffer.concat([head, nonce, text, cipher.getAuthTag()]);
  }

  function unsealed(
    sealed: Uint8Array,
    recordId: string,
    field: string,
  ): { readonly form: number; readonly text: Buffer } {
    const bytes = bytesOf(sealed);
    const nonceFrom = 2 + (bytes[1] ?? 0);
    const textFrom = nonceFrom + nonceBytes;
    const tagFrom = bytes.length - tagBytes;
    const form = bytes[0];
    if (form === undefined || form < asItIs || form > devanagariForm || tagFrom < textFrom)
      throw unreadable(field, 'it has no form that is known');
    const keyId = bytes.toString('latin1', 2, nonceFrom);
    const key = byId.get(keyId);
    if (!key)
      throw unreadable(
        field,
        `it was sealed by key "${printable(keyId)}", which is not set. Set it again, after the newest`,
      );
    try {
      const decipher = createDecipheriv('aes-256-gcm', key, bytes.subarray(nonceFrom, textFrom), {
        authTagLength: tagBytes,
      });
      decipher.setAAD(boundTo(bytes.subarray(0, nonceFrom), recordId, field));
      decipher.setAuthTag(bytes.subarray(tagFrom));
      const text = decipher.update(bytes.subarray(textFrom, tagFrom));
      decipher.final();
      return { form, text };
    } catch (cause) {
      throw unreadable(
        field,
        `it was altered or moved, or key "${keyId}" is not the one that sealed it`,
        cause,
      );
    }
  }

  return {
    seal(text, recordId, field) {
      return Buffer.byteLength(text) >= deflateFrom
        ? sealed(longHead, deflated(Buffer.from(text, 'utf8')), recordId, field)
        : sealed(shortHead, text, recordId, field);
    },
    sealBytes: (bytes, recordId, field) => sealed(shortHead, bytes, recordId, field),
    open(sealed, recordId, field) {
      const { form, text } = unsealed(sealed, recordId, field);
      return inflated(form, text).toString('utf8');
    },
    openBytes: (sealed, recordId, field) => unsealed(sealed, recordId, field).text,
    renew(value, recordId, field) {
      const bytes = bytesOf(value);
      if (bytes.toString('latin1', 2, 2 + (bytes[1] ?? 0)) === newest.id) return undefined;
      const { form, text } = unsealed(bytes, recordId, field);
      return sealed(headOf(form, newest.id), text, recordId, field);
    },
    isNewestMark: (mark) => mark.startsWith(`${newest.id}.`),
    mark(text, recordId) {
      const hash = createHmac('sha256', markingKey)
        .update(boundTo(shortHead, recordId, text))
        .digest('base64url');
      return `${newest.id}.${hash.slice(0, 16)}`;
    },
  };
}

/**
 * Reads keys as the operator sets them: `id:key,id:key`, newest first, each key 32 bytes in base64.
 * @throws ConfigError naming every bad key; never a key's bytes
 */
export function readSealingKeys(text: string): readonly SealingKey[] {
  const keys = text.split(',').map((entry) => {
    const [id = '', key = ''] = entry.trim().split(':', 2);
    return { id, key: Buffer.from(key, 'base64') };
  });
  checkedKeys(keys);
  return keys;
}

/**
 * The line's id: HMAC-SHA-256 of the E.164 number (RFC 2104, FIPS 180-4), cut to 128 bits, in 22 url-safe characters.
 * @param pepper a secret of 16 bytes or more that never changes: with another one every mother is a stranger
 * @throws ConfigError when the pepper is too short to keep anybody from trying all numbers
 */
export function lineIdOf(phone: string, pepper: Uint8Array | string): LineId {
  if (Buffer.byteLength(pepper) < 16)
    throw new ConfigError(['The pepper for line ids must have 16 bytes or more.']);
  return createHmac('sha256', pepper).update(phone).digest().toString('base64url', 0, 16) as LineId;
}

function checkedKeys(keys: readonly SealingKey[]): SealingKey {
  const problems = keys.flatMap(({ id, key }, index) => {
    const name = `Sealing key ${index + 1}`;
    return [
      ...(/^[\w-]{1,16}$/.test(id) ? [] : [`${name}: its id must be 1-16 of A-Z a-z 0-9 _ and -.`]),
      ...(key.length === 32 ? [] : [`${name}: it must be 32 bytes, and has ${key.length}.`]),
      ...(keys.findIndex((other) => other.id === id) === index ? [] : [`${name}: its id is used twice.`]),
    ];
  });
  const newest = keys[0];
  if (!newest) problems.push('At least one sealing key is needed.');
  if (problems.length > 0 || !newest) throw new ConfigError(problems);
  return newest;
}

/** The length goes first, so that no two pairs of record and field give the same bytes. */
function boundTo(head: Buffer, recordId: string, field: string): Buffer {
  return Buffer.from(`${head.toString('latin1')}${recordId.length}:${recordId}${field}`, 'utf8');
}

/** Without a copy. */
function bytesOf(value: Uint8Array): Buffer {
  return Buffer.from(value.buffer, value.byteOffset, value.byteLength);
}

function deflated(plain: Buffer): Buffer {
  return deflateRawSync(plain, plain.length > 8_192 ? longDeflateSettings : deflateSettings);
}

function inflated(form: number, bytes: Buffer): Buffer {
  switch (form) {
    case deflatedForm:
      return inflateRawSync(bytes);
    case latinForm:
      return inflateRawSync(bytes, { dictionary: latinDictionary });
    case devanagariForm:
      return inflateRawSync(bytes, { dictionary: devanagariDictionary });
    default:
      return bytes;
  }
}

function headOf(form: number, keyId: string): Buffer {
  return Buffer.from([form, keyId.length, ...Buffer.from(keyId, 'latin1')]);
}

/** Asking the system for 12 bytes costs as much as for 3,072. */
function noncePool(): () => Buffer {
  const pool = Buffer.alloc(nonceBytes * 256);
  let used = pool.length;
  return () => {
    if (used === pool.length) {
      randomFillSync(pool);
      used = 0;
    }
    used += nonceBytes;
    return pool.subarray(used - nonceBytes, used);
  };
}

function unreadable(field: string, why: string, cause?: unknown): StoreUnavailable {
  return new StoreUnavailable(`A sealed ${field} cannot be opened: ${why}.`, { cause });
}

function printable(keyId: string): string {
  return keyId.replace(/[^\w-]/g, '?');
}
