import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Pack, packOf, packText } from '../../src/store/pack-text.ts';
import { turnRecordOf, turnText } from '../../src/store/turn-record.ts';

const words = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.constantFrom('', ' ', '\n', '\\n', '\\', '!', '#', 'a\nb', 'दूध\n'),
);
const at = fc.integer({ min: 0, max: 2 ** 42 - 1 });
const entry = fc.record({ at, kind: words, body: words });
const pack: fc.Arbitrary<Pack> = fc.record({
  journal: fc.array(entry),
  replies: fc.array(
    fc.record({ inbound: fc.integer({ min: 0, max: 2 ** 48 - 1 }), reply: words, keptAt: at }),
  ),
  messages: fc.array(words.map((text) => JSON.stringify([text]))),
});

describe('what is sealed together', () => {
  it('comes back from a pack as it went in, whatever the words', () => {
    fc.assert(fc.property(pack, (one) => void expect(packOf(packText(one))).toEqual(one)));
  });

  it('comes back from a turn as it went in, whatever the words', () => {
    const turn = fc.record({ reply: fc.option(words, { nil: undefined }), journal: fc.array(entry) });
    fc.assert(fc.property(turn, (one) => void expect(turnRecordOf(turnText(one))).toEqual(one)));
  });

  it('puts each entry of a pack on a line of its own, with the step from the one before', () => {
    const journal = [
      { at: 36, kind: 'text-in', body: '{"body":"9 3 6 4"}' },
      { at: 36, kind: 'said', body: '{"words":"Good."}' },
      { at: 72, kind: 'two words', body: '' },
    ];
    expect(packText({ journal, replies: [{ inbound: 35, reply: 'x', keptAt: 36 }], messages: ['[1]'] })).toBe(
      '10 text-in {"body":"9 3 6 4"}\n said {"words":"Good."}\n10 two\\swords \n!z 10 x\n#[1]',
    );
  });
});
