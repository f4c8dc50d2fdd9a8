import { webcrypto } from 'node:crypto';
import { inflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ConfigError, StoreUnavailable } from '../../src/errors.ts';
import { lineIdOf, openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { newKey, phoneOf } from '../contract/sample-changes.ts';

const text = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 200 }),
  fc.string({ unit: 'grapheme', minLength: 1_100, maxLength: 3_000 }),
);

/** Opens a sealed value with Web Crypto, from the description of the form alone. */
async function openByTheBook(
  sealed: Buffer,
  key: Uint8Array,
  recordId: string,
  field: string,
): Promise<string> {
  const idLength = sealed[1] ?? 0;
  const nonceFrom = 2 + idLength;
  const head = sealed.subarray(0, nonceFrom).toString('latin1');
  const cryptoKey = await webcrypto.subtle.importKey('raw', new Uint8Array(key), 'AES-GCM', false, [
    'decrypt',
  ]);
  const opened = await webcrypto.subtle.decrypt(
    {
      name: 'AES-GCM',
      iv: new Uint8Array(sealed.subarray(nonceFrom, nonceFrom + 12)),
      additionalData: new TextEncoder().encode(`${head}${recordId.length}:${recordId}${field}`),
      tagLength: 128,
    },
    cryptoKey,
    new Uint8Array(sealed.subarray(nonceFrom + 12)),
  );
  return (sealed[0] === 2 ? inflateRawSync(opened) : Buffer.from(opened)).toString('utf8');
}

describe('a sealed value', () => {
  const key = newKey('2026');
  const sealer = openSealer([key]);

  it('opens to the text that was sealed', () => {
    fc.assert(
      fc.property(text, fc.string(), fc.string(), (words, record, field) => {
        expect(sealer.open(sealer.seal(words, record, field), record, field)).toBe(words);
      }),
    );
  });

  it('is AES-256-GCM as described: another implementation opens it', async () => {
    for (const words of ['', 'fever', 'ज्वर '.repeat(300)]) {
      expect(await openByTheBook(sealer.seal(words, 'line-1', 'state'), key.key, 'line-1', 'state')).toBe(
        words,
      );
    }
  });

  it('shows its key id and none of the words', () => {
    fc.assert(
      fc.property(fc.string({ minLength: 4, maxLength: 2_000 }), (words) => {
        const sealed = sealer.seal(words, 'r', 'f');
        expect(sealed.subarray(2, 6).toString()).toBe('2026');
        expect(sealed.includes(Buffer.from(words))).toBe(false);
      }),
    );
  });

  it('does not open when any one bit is changed, or its end is missing', () => {
    for (const words of ['bleeding', 'bleeding '.repeat(120)]) {
      const sealed = sealer.seal(words, 'r', 'f');
      for (let bit = 0; bit < sealed.length * 8; bit++) {
        const altered = Buffer.from(sealed);
        altered[bit >> 3] = (altered[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        expect(() => sealer.open(altered, 'r', 'f')).toThrow(StoreUnavailable);
      }
      for (let length = 0; length < sealed.length; length++) {
        expect(() => sealer.open(sealed.subarray(0, length), 'r', 'f')).toThrow(StoreUnavailable);
      }
    }
  });

  it('opens in its own record and field only', () => {
    const sealed = sealer.seal('words', 'line-1', 'state');
    for (const [record, field] of [
      ['line-2', 'state'],
      ['line-1', 'reply'],
      ['line-1s', 'tate'],
      ['', 'line-1state'],
    ] as const) {
      expect(() => sealer.open(sealed, record, field)).toThrow(/altered or moved/);
    }
  });

  it('never uses a nonce twice', () => {
    const nonces = Array.from({ length: 20_000 }, () =>
      sealer.seal('', 'r', 'f').subarray(6, 18).toString('hex'),
    );
    expect(new Set(nonces).size).toBe(nonces.length);
  });
});

describe('keys', () => {
  it('seal with the first and open with all; a missing one is named', () => {
    const [older, newer] = [newKey('a'), newKey('b')];
    const both = openSealer([newer, older]);
    const old = openSealer([older]).seal('words', 'r', 'f');
    expect(both.open(old, 'r', 'f')).toBe('words');
    expect(openSealer([newer]).open(both.seal('words', 'r', 'f'), 'r', 'f')).toBe('words');
    expect(() => openSealer([newer]).open(old, 'r', 'f')).toThrow(/key "a", which is not set/);
    expect(() => openSealer([newKey('a')]).open(old, 'r', 'f')).toThrow(StoreUnavailable);
  });

  it('are read from one setting, newest first', () => {
    const [older, newer] = [newKey('2025'), newKey('2026')];
    const setting = [newer, older].map(({ id, key }) => `${id}:${key.toString('base64')}`).join(', ');
    expect(readSealingKeys(setting).map(({ id, key }) => ({ id, key: Buffer.from(key) }))).toEqual([
      newer,
      older,
    ]);
  });

  it('that are wrong are all named at once, and never shown', () => {
    const good = newKey('ok').key.toString('base64');
    const bad = `:${good}, ok:${good}, ok:${good}, short:c2VjcmV0`;
    expect(() => readSealingKeys(bad)).toThrow(ConfigError);
    try {
      readSealingKeys(bad);
    } catch (error) {
      expect((error as ConfigError).problems).toEqual([
        'Sealing key 1: its id must be 1-16 of A-Z a-z 0-9 _ and -.',
        'Sealing key 3: its id is used twice.',
        'Sealing key 4: it must be 32 bytes, and has 6.',
      ]);
    }
    expect(() => readSealingKeys('')).toThrow(ConfigError);
    expect(() => openSealer([])).toThrow('At least one sealing key is needed.');
  });
});

describe('a mark', () => {
  it('is the same for the same receiver of a line, and tells nothing else', () => {
    const sealer = openSealer([newKey('k')]);
    expect(sealer.mark(phoneOf(1), 'line-1')).toBe(sealer.mark(phoneOf(1), 'line-1'));
    expect(sealer.mark(phoneOf(1), 'line-1')).not.toBe(sealer.mark(phoneOf(2), 'line-1'));
    expect(sealer.mark(phoneOf(1), 'line-1')).not.toBe(sealer.mark(phoneOf(1), 'line-2'));
    expect(sealer.mark(phoneOf(1), 'line-1')).not.toBe(openSealer([newKey('k')]).mark(phoneOf(1), 'line-1'));
    expect(sealer.mark(phoneOf(1), 'line-1')).toMatch(/^k\.[\w-]{16}$/);
  });
});

describe('a line id', () => {
  it('is HMAC-SHA-256, cut to 128 bits', () => {
    // RFC 4231, section 4.2, test case 1: key of twenty bytes 0b, data "Hi There".
    const published = 'b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7';
    const expected = Buffer.from(published, 'hex').subarray(0, 16).toString('base64url');
    expect(lineIdOf('Hi There', Buffer.alloc(20, 0x0b))).toBe(expected);
  });

  it('is safe in a URL and differs for each number', () => {
    const ids = Array.from({ length: 1_000 }, (_, n) => lineIdOf(phoneOf(n), 'a pepper for tests only'));
    expect(new Set(ids).size).toBe(1_000);
    for (const id of ids) expect(id).toMatch(/^[\w-]{22}$/);
  });

  it('asks for a pepper that cannot be guessed', () => {
    expect(() => lineIdOf(phoneOf(1), 'short')).toThrow(ConfigError);
  });
});
