import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packOf } from '../../src/store/pack-text.ts';
import { turnRecordOf, turnText } from '../../src/store/turn-record.ts';

const words = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.constantFrom('', ' ', '\n', '\\n', '\\', '!', '#', 'a\nb', 'दूध\n'),
);
const at = fc.integer({ min: 0, max: 2 ** 42 - 1 });
const entry = fc.record({ at, kind: words, body: words });
describe('what is sealed together', () => {
  it('comes back from a turn as it went in, whatever the words', () => {
    const turn = fc.record({ reply: fc.option(words, { nil: undefined }), journal: fc.array(entry) });
    fc.assert(fc.property(turn, (one) => void expect(turnRecordOf(turnText(one))).toEqual(one)));
  });

  it('is read from packs of an earlier build, whose entries stand on a line each', () => {
    const text =
      '10 text-in {"body":"9 3 6 4"}\n said {"words":"A\\\\n\\nB"}\n10 two\\swords \n!z 10 x\\\\\n#[1]';
    expect(packOf(text)).toEqual({
      journal: [
        { at: 36, kind: 'text-in', body: '{"body":"9 3 6 4"}' },
        { at: 36, kind: 'said', body: '{"words":"A\\n\nB"}' },
        { at: 72, kind: 'two words', body: '' },
      ],
      replies: [{ inbound: 35, reply: 'x\\', keptAt: 36 }],
      messages: ['[1]'],
    });
    expect(packOf('')).toEqual({ journal: [], replies: [], messages: [] });
  });
});
