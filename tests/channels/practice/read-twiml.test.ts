import fc from 'fast-check';
import MessagingResponse from 'twilio/lib/twiml/MessagingResponse.js';
import VoiceResponse from 'twilio/lib/twiml/VoiceResponse.js';
import { expect, test } from 'vitest';
import { readTwiml } from '../../../src/channels/practice/read-twiml.ts';

test('reads what the carrier’s own builder writes', () => {
  const voice = new VoiceResponse();
  const gather = voice.gather({
    input: ['dtmf'],
    action: 'https://line.example.test/keys?n=1&x="2"',
    numDigits: 1,
    finishOnKey: '',
    timeout: 8,
    actionOnEmptyResult: true,
  });
  gather.say({ language: 'hi-IN' }, 'दूध <कितनी> बार & "कब"?');
  voice.say('Bye');
  voice.hangup();
  expect(readTwiml(voice.toString())).toEqual([
    {
      kind: 'gather',
      action: 'https://line.example.test/keys?n=1&x="2"',
      numDigits: 1,
      finishOnKey: '',
      timeoutSeconds: 8,
      actionOnEmptyResult: true,
      says: [{ kind: 'say', text: 'दूध <कितनी> बार & "कब"?', language: 'hi-IN' }],
    },
    { kind: 'say', text: 'Bye', language: undefined },
    { kind: 'hangup' },
  ]);
});

test('the carrier’s defaults hold where the line says nothing: 5 seconds, ends with #', () => {
  expect(readTwiml('<Response><Gather action="/k"/></Response>')).toMatchObject([
    { numDigits: undefined, finishOnKey: '#', timeoutSeconds: 5, actionOnEmptyResult: false, says: [] },
  ]);
});

test('any text goes through the builder and back', () => {
  const allowed = fc
    .string({ unit: 'binary' })
    // What XML 1.0 (section 2.2) allows; the builder throws on the rest.
    .map((text) => text.replace(/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu, ''));
  fc.assert(
    fc.property(allowed, (text) => {
      const response = new MessagingResponse();
      response.message(text);
      expect(readTwiml(response.toString())).toEqual([{ kind: 'message', text }]);
    }),
  );
});

test.each([
  ['nothing', ''],
  ['another root', '<Say>x</Say>'],
  ['an unknown verb', '<Response><Dial>1</Dial></Response>'],
  ['a verb where it cannot stand', '<Response><Gather action="/k"><Hangup/></Gather></Response>'],
  ['an element in a message', '<Response><Message><Say>x</Say></Message></Response>'],
  ['text between verbs', '<Response>hello<Hangup/></Response>'],
  ['what is not closed', '<Response><Say>x</Response>'],
  ['a second root', '<Response/><Response/>'],
  ['text after the end', '<Response></Response>x'],
  ['a bare ampersand', '<Response><Say>a & b</Say></Response>'],
  ['an entity from elsewhere', '<Response><Say>&file;</Say></Response>'],
  ['a document type', '<!DOCTYPE x><Response/>'],
  ['a number that is none', '<Response><Gather numDigits="many"/></Response>'],
  ['an unquoted attribute', '<Response><Say language=hi>x</Say></Response>'],
])('refuses %s', (_name, document) => {
  expect(() => readTwiml(document)).toThrow(SyntaxError);
});
