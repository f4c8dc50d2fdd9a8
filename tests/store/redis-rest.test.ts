import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LineId } from '../../src/dialog/line.ts';
import { bitReader, bitWriter } from '../../src/store/redis/rest/arithmetic-coder.ts';
import { primer } from '../../src/store/redis/rest/primer.ts';
import { codeRecord, type RestRecord } from '../../src/store/redis/rest/rest-record.ts';
import { openShrinker, primerOf } from '../../src/store/redis/rest/shrink.ts';
import { TextCoder } from '../../src/store/redis/rest/text-coder.ts';
import { wordsOf } from '../../src/store/redis/rest/vocabulary.ts';

const lineId = 'sy0gds9KNtwjrxR-UqZQrA' as LineId;
const shrinker = openShrinker();

const text = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.string({ unit: 'grapheme', maxLength: 60 }),
  fc.constantFrom(
    '',
    '\0',
    '\u0001',
    '\u0001\u0003',
    '\ud800',
    '\\',
    '\\n',
    lineId,
    `${lineId}.7.0`,
    `x${lineId}${lineId}`,
  ),
  fc.constantFrom(
    '0',
    '00',
    '007',
    ' 12',
    '9999',
    '10000',
    '1793031329975',
    '17930313299751',
    '4999999999999',
    '0793031329975',
  ),
  fc.constantFrom(
    '{"body":"9 3 6 4"}',
    'दूध पिलाना कैसा चल रहा है?',
    'We ask again tomorrow.',
    '{"at":1793031329975,"wantedAt":1793031300000}',
  ),
);
const words = fc.array(text, { maxLength: 6 }).map((parts) => parts.join(''));
const at = fc.oneof(
  fc.integer({ min: 0, max: 2 ** 42 }),
  fc.maxSafeNat(),
  fc.constantFrom(0, 60_000, 1_793_031_300_000),
);
const record: fc.Arbitrary<RestRecord> = fc.record({
  state: words,
  journal: fc.array(fc.record({ at, kind: words, body: words })),
  replies: fc.array(
    fc.record({ inbound: fc.integer({ min: 0, max: 2 ** 48 - 1 }), keptAt: at, reply: words }),
  ),
  messages: fc.array(words),
});

const sample: RestRecord = {
  state: '{"schema":1,"phone":"+447700900123","language":"hi","turns":12}',
  journal: [
    { at: 1_793_031_329_975, kind: 'text-in', body: '{"body":"9 3 6 4"}' },
    {
      at: 1_793_031_329_975,
      kind: 'said',
      body: '{"words":"दूध पिलाना कैसा चल रहा है?\\nWe ask again tomorrow."}',
    },
    {
      at: 1_793_075_400_000,
      kind: 'sending',
      body: `{"id":"${lineId}.6.0","to":"line","words":"Zyx \\u0001 ₹ 007"}`,
    },
  ],
  replies: [{ inbound: 2 ** 48 - 1, keptAt: 1_793_031_330_000, reply: '{"kind":"nothing"}' }],
  messages: ['["a",null,1793031329975]'],
};

describe('a record of a line at rest', () => {
  it('comes back as it went in, whatever the words and figures', () => {
    fc.assert(
      fc.property(record, (one) => {
        const small = shrinker.shrink(one, lineId);
        expect(shrinker.grow(small, lineId)).toEqual(one);
        expect(shrinker.stateIn(small, lineId)).toBe(one.state);
      }),
      { numRuns: 300 },
    );
  });

  it('opens in every later version: these bytes were written by the first', () => {
    expect(shrinker.grow(Buffer.from(firstVersion, 'base64'), lineId)).toEqual(sample);
    expect(shrinker.shrink(sample, lineId).toString('base64')).toBe(firstVersion);
  });

  it('is shrunk the same whatever was shrunk before it', () => {
    const first = shrinker.shrink(sample, lineId);
    shrinker.shrink({ ...sample, state: 'Quite other words, वेगळे शब्द 4711' }, lineId);
    shrinker.grow(first, lineId);
    expect(shrinker.shrink(sample, lineId)).toEqual(first);
    expect(openShrinker().shrink(sample, lineId)).toEqual(first);
  });

  it('may be long, or hold times before 1970: then it is kept all the same', () => {
    const body = Array.from({ length: 12_000 }, (_, n) => `w${n.toString(36)}`).join(' ');
    for (const journal of [[{ at: 1, kind: 'k', body }], [{ at: -1, kind: 'k', body: 'b' }]]) {
      const one = { ...sample, journal };
      const small = shrinker.shrink(one, lineId);
      expect(shrinker.grow(small, lineId)).toEqual(one);
      expect(shrinker.stateIn(small, lineId)).toBe(one.state);
    }
  });

  it('has a primer that nobody edited', () => {
    expect(createHash('sha256').update(primer.coded).digest('hex')).toBe(primerDigest);
  });

  it('is read out of a primer by a coder that knows nothing, record after record', () => {
    const io = bitReader(primerOf([sample, { ...sample, journal: [] }]));
    const coder = new TextCoder();
    const own = 'A-line-of-the-primer' as LineId;
    expect(codeRecord(coder, io, own)).toEqual(sample);
    expect(codeRecord(coder, io, own)).toEqual({ ...sample, journal: [] });
  });

  it('takes a few bytes for what the line says every day', () => {
    const said =
      'Enough wet nappies. Milk is going in.\\nGo on like this: empty one breast, then offer the other, day and night.';
    const journal = [{ at: 0, kind: 'said', body: `{"words":"${said}\\nWe ask again tomorrow."}` }];
    expect(shrinker.shrink({ state: '', journal, replies: [], messages: [] }, lineId).length).toBeLessThan(
      20,
    );
  });
});

describe('the parts of a text', () => {
  it('put together are the text', () => {
    fc.assert(fc.property(words, (one) => void expect(wordsOf(one).join('')).toBe(one)));
  });
});

describe('bits at their odds', () => {
  it('come back as they went in', () => {
    const bits = fc.array(fc.tuple(fc.integer({ min: 0, max: 1 }), fc.integer({ min: 1, max: 65_535 })), {
      maxLength: 2_000,
    });
    fc.assert(
      fc.property(bits, (all) => {
        const writer = bitWriter();
        for (const [bit, odds] of all) writer.bit(bit, odds);
        const reader = bitReader(writer.end());
        for (const [bit, odds] of all) expect(reader.bit(0, odds)).toBe(bit);
      }),
    );
  });

  it('take the room that information theory says, to a few bytes', () => {
    // Shannon 1948, "A mathematical theory of communication": -log2 of the odds of what came.
    const writer = bitWriter();
    let wanted = 0;
    for (let n = 0; n < 20_000; n++) {
      const odds = [600, 20_000, 65_000][n % 3] ?? 0;
      const bit = (n * 7_919) % 65_536 < odds ? 1 : 0;
      wanted -= Math.log2((bit === 1 ? odds : 65_536 - odds) / 65_536);
      writer.bit(bit, odds);
    }
    const bytes = writer.end().length;
    expect(bytes).toBeGreaterThanOrEqual(Math.floor(wanted / 8));
    expect(bytes).toBeLessThan(wanted / 8 + 8);
  });
});

const firstVersion =
  'AVCXuNjJo1VrwjEFcFaaFExKZjFL7nwE0aX3FnM4VJWJY0K5LpXrwNHFxtKhOjmxVqCKqb3KJQoL/mCw0xOcI9BLeAy6ZCFsAAAAEQfPxdKjcfMLSbTT5Ucw';
const primerDigest = '580b8b610b0e4c1785e5525381f8388f0012154c79d3d89f15a79b98f1594b16';
