import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openWording, type Channel } from '../../src/language/wording.ts';
import { contentRoot, loadContent, localeFiles } from '../../src/programme/load-content.ts';

type Values = Readonly<Record<string, string | number>>;

const files = localeFiles(contentRoot, 'messages.yaml');
const { wording } = loadContent();
const channels: readonly Channel[] = ['text', 'voice'];

function keysOf(data: unknown, at = ''): readonly string[] {
  if (typeof data === 'string') return [at];
  const below = data as Readonly<Record<string, unknown>>;
  if (typeof below['text'] === 'string') return [at];
  return Object.entries(below).flatMap(([name, part]) => keysOf(part, at === '' ? name : `${at}.${name}`));
}

/** Names and texts as mothers have them, and such as could be taken for a gap, a nested text or a replacement. */
const spoken = fc.oneof(
  fc.constantFrom('Tara', 'तारा', '{{name}}', '$t(help)', '$&', '$1', ' ', '', '<b>', '{{', '}}'),
  fc.string(),
  fc.nat({ max: 200 }),
);

/** An empty context changes nothing in i18next; here it keeps the text from being filled in by the short way. */
const byI18next = (key: string, values: Values, language: string, channel: Channel): string =>
  wording.say(key, { ...values, context: '' }, language, channel);

/** A plural without its number is no text: both ways say so. */
function told(say: () => string): string {
  try {
    return say();
  } catch (error) {
    return String(error);
  }
}

describe('a text filled by the short way', () => {
  // Reference: i18next, for every text of every language.
  it('is what i18next says, for every key, language and channel', () => {
    let compared = 0;
    for (const { language, data } of files) {
      for (const key of keysOf(data)) {
        const base = key.replace(/_(?:zero|one|two|few|many|other)$/u, '');
        const names = [...JSON.stringify(data).matchAll(/\{\{\s*(\w+)/gu)].map((m) => m[1] ?? '');
        for (const channel of channels) {
          for (const count of [0, 1, 2, 5, 11, 21, 100, 101, 1.5]) {
            const values: Values = Object.fromEntries(
              [...new Set(names)].map((n, i) => [n, n === 'count' ? count : `v${i}`]),
            );
            expect(wording.say(base, values, language, channel)).toBe(
              byI18next(base, values, language, channel),
            );
            compared += 1;
          }
        }
      }
    }
    expect(compared).toBeGreaterThan(10_000);
  }, 60_000);

  it('takes what a mother wrote as it is', () => {
    const keys = ['menu.item', 'help', 'feedback.next', 'person.will-call', 'value.weight', 'baby.only'];
    const values = fc.dictionary(
      fc.constantFrom('number', 'name', 'programme', 'emergency', 'kilos', 'grams', 'count'),
      spoken,
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...keys),
        values,
        fc.constantFrom(...files.map((f) => f.language)),
        fc.constantFrom(...channels),
        (key, given, language, channel) => {
          expect(told(() => wording.say(key, given, language, channel))).toBe(
            told(() => byI18next(key, given, language, channel)),
          );
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('leaves formats, nested texts and gaps without a value to i18next', () => {
    const data = { a: 'sum {{n, number}}', b: 'see $t(c)', c: 'that {{x}}', d: '{{- raw}} on', e: 'plain' };
    const own = openWording([{ language: 'en', data, file: 'messages.yaml' }]);
    const say = (key: string, values: Values) => own.say(key, values, 'en', 'text');
    expect(say('b', { x: 'one' })).toBe('see that one');
    expect(say('c', {})).toBe('that {{x}}');
    expect(say('d', { raw: '<i>' })).toBe('<i> on');
    expect(say('e', {})).toBe('plain');
    expect(say('a', { n: 3 })).toBe('sum 3');
    expect(() => say('gone', {})).toThrow('no text named "gone"');
  });
});
