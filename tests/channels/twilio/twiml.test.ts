import fc from 'fast-check';
import MessagingResponse from 'twilio/lib/twiml/MessagingResponse.js';
import { expect, test } from 'vitest';
import { readTwiml } from '../../../src/channels/practice/read-twiml.ts';
import { callTwiml, textTwiml } from '../../../src/channels/twilio/twiml.ts';
import { defaultVoices } from '../../../src/channels/twilio/voices.ts';

const keysUrl = 'https://line.example.test/carrier/keys?n=1';
const spoken = (reply: Parameters<typeof callTwiml>[0]) => callTwiml(reply, keysUrl, defaultVoices);

test('a text is one message, and nothing is an empty answer', () => {
  expect(textTwiml({ kind: 'text', body: 'Good.' })).toBe(
    '<?xml version="1.0" encoding="UTF-8"?><Response><Message>Good.</Message></Response>',
  );
  expect(textTwiml({ kind: 'nothing' })).toBe('<?xml version="1.0" encoding="UTF-8"?><Response/>');
  expect(textTwiml({ kind: 'text', body: '' })).toContain('<Response/>');
});

test('a question waits 8 seconds for its keys and is told of silence', () => {
  const ask = (digits: number | 'hash') => spoken({ kind: 'ask', say: 'How many?', language: 'mr', digits });
  const same = `action="${keysUrl}" method="POST" timeout="8" actionOnEmptyResult="true"`;
  const say = '<Say language="mr-IN" voice="Google.mr-IN-Wavenet-A">How many?</Say>';
  expect(ask(1)).toContain(
    `<Gather input="dtmf" ${same} numDigits="1" finishOnKey="">${say}</Gather></Response>`,
  );
  expect(ask(2)).toContain(`<Gather input="dtmf" ${same} numDigits="2" finishOnKey="#">`);
  expect(ask('hash')).toContain(`<Gather input="dtmf" ${same} finishOnKey="#">`);
});

test('a language without a voice is left to the carrier’s own', () => {
  const reply = { kind: 'say-and-end', say: 'x', language: 'constructor' } as const;
  expect(spoken(reply)).toContain('<Response><Say>x</Say><Hangup/></Response>');
});

test('what does not fit a call ends it, and what does not fit a text is not sent', () => {
  expect(spoken({ kind: 'text', body: 'x' })).toContain('<Response><Hangup/></Response>');
  expect(spoken({ kind: 'nothing' })).toContain('<Response><Hangup/></Response>');
  expect(spoken({ kind: 'busy' })).toContain('<Response><Reject reason="busy"/></Response>');
  expect(textTwiml({ kind: 'busy' })).toContain('<Response/>');
});

test('markup in words stays words', () => {
  const evil = '</Message><Redirect>http://evil.example.test</Redirect>';
  expect(textTwiml({ kind: 'text', body: evil })).not.toContain('<Redirect>');
  expect(readTwiml(textTwiml({ kind: 'text', body: evil }))).toEqual([{ kind: 'message', text: evil }]);
});

test('no text makes the writer throw, and every letter that XML allows arrives', () => {
  const anything = fc.oneof(
    fc.string({ unit: 'binary' }),
    fc.array(fc.integer({ min: 0, max: 0xffff })).map((units) => String.fromCharCode(...units)),
    fc.constantFrom('\u0000\u0001\u000b', '\ufffe\uffff', '\ud800', '\udc00x', '👩‍👧', 'a\ud83d'),
  );
  // XML 1.0, section 2.2, by code point; written apart from the code under test.
  const isAllowed = (letter: string) => {
    const code = letter.codePointAt(0) ?? 0;
    if (code === 9 || code === 10 || code === 13) return true;
    return (code >= 0x20 && code < 0xd800) || (code > 0xdfff && code < 0xfffe) || code > 0xffff;
  };
  fc.assert(
    fc.property(anything, (text) => {
      const kept = [...text].filter(isAllowed).join('');
      const wanted = kept === '' ? [] : [{ kind: 'message', text: kept }];
      expect(readTwiml(textTwiml({ kind: 'text', body: text }))).toEqual(wanted);
      expect(() => spoken({ kind: 'ask', say: text, language: 'en', digits: 1 })).not.toThrow();
    }),
  );
});

// Reference: the SDK's own builder.
test('a text is written as the SDK writes it, letter for letter', () => {
  const letters = fc.constantFrom(
    '&',
    '<',
    '>',
    '"',
    "'",
    '\r',
    '\n',
    '\t',
    ' ',
    'a',
    'अ',
    '👍',
    '&amp;',
    ']]>',
    '\u0085',
    '\u2028',
  );
  const text = fc.oneof(
    fc.string({ unit: 'grapheme' }),
    fc.array(letters, { maxLength: 30 }).map((l) => l.join('')),
  );
  fc.assert(
    fc.property(text, (body) => {
      const kept = body.replace(/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu, '');
      const built = new MessagingResponse();
      if (kept !== '') built.message(kept);
      expect(textTwiml({ kind: 'text', body })).toBe(built.toString());
    }),
    { numRuns: 1000 },
  );
});

test('a long text becomes several messages of at most 1600 letters, and no word is lost', () => {
  const words = Array.from({ length: 900 }, (_, index) => `word${index}`).join(' ');
  for (const body of [words, '👍'.repeat(1500), 'क'.repeat(4000)]) {
    const parts = readTwiml(textTwiml({ kind: 'text', body })).map((verb) =>
      verb.kind === 'message' ? verb.text : '',
    );
    for (const part of parts) {
      expect(part.length).toBeLessThanOrEqual(1600);
      expect(part).not.toMatch(/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/);
    }
    expect(parts.join(body === words ? ' ' : '')).toBe(body);
  }
});

test('long words are spoken in pieces under 4 KB each', () => {
  const say = Array.from({ length: 800 }, () => 'स्तनपान').join(' ');
  const [gather] = readTwiml(spoken({ kind: 'ask', say, language: 'hi', digits: 1 }));
  if (gather?.kind !== 'gather') throw new Error('no question');
  for (const { text } of gather.says) expect(Buffer.byteLength(text)).toBeLessThanOrEqual(4096);
  expect(gather.says.map(({ text }) => text).join(' ')).toBe(say);
});

test('an answer that wants receipts names its address as the SDK`s builder writes it', () => {
  const url = 'https://line.example.test/carrier/receipt?outbox=line.7.reply&x="1"';
  const built = new MessagingResponse();
  built.message({ statusCallback: url }, 'Go now.');
  const mine = textTwiml({ kind: 'text', body: 'Go now.' }, url);
  expect(readTwiml(mine)).toEqual(readTwiml(built.toString()));
  expect(mine).toContain(
    'statusCallback="https://line.example.test/carrier/receipt?outbox=line.7.reply&amp;x=&quot;1&quot;"',
  );
});
