import { afterEach, expect, test } from 'vitest';
import type { Inbound, Reply } from '../../../src/channels/carrier.ts';
import { StoreUnavailable } from '../../../src/errors.ts';
import { account, callSid, messageSid, type WebhookLine, webhookLine } from '../../stand-in/webhook-line.ts';

const open: WebhookLine[] = [];
const line = async (receive: (inbound: Inbound) => Promise<Reply> | Reply = () => ({ kind: 'nothing' })) => {
  const made = await webhookLine(receive);
  open.push(made);
  return made;
};
afterEach(async () => {
  await Promise.all(open.splice(0).map((each) => each.close()));
});

test('a signed text reaches the service and its answer is a message', async () => {
  const { post, told } = await line(() => ({ kind: 'text', body: 'Good. 8 & more <feeds>' }));
  const answer = await post('/carrier/text', { MessageSid: messageSid, Body: ' बच्चा 9 6 ', NumMedia: '0' });
  expect(answer.status).toBe(200);
  expect(answer.headers.get('content-type')).toBe('text/xml; charset=utf-8');
  expect(await answer.text()).toContain('<Message>Good. 8 &amp; more &lt;feeds&gt;</Message>');
  expect(told).toEqual([
    { kind: 'text', id: messageSid, from: account.mother, to: account.lineNumber, body: ' बच्चा 9 6 ' },
  ]);
});

test('a text without words, with new fields and from no number is still heard', async () => {
  const { post, told } = await line();
  const answer = await post('/carrier/text', {
    MessageSid: messageSid,
    From: 'AD-NOTICE',
    __proto__x: '1',
    constructor: 'x',
    BrandNew: '1',
  });
  expect(answer.status).toBe(200);
  expect(told).toEqual([{ kind: 'text', id: messageSid, from: undefined, to: account.lineNumber, body: '' }]);
});

test.each([
  ['no signature', null],
  ['an empty signature', ''],
  ['a wrong signature', 'AAAAAAAAAAAAAAAAAAAAAAAAAAA='],
])('%s is refused with 403 and nothing is told', async (_name, signature) => {
  const { post, told, refused } = await line();
  const answer = await post('/carrier/text', { MessageSid: messageSid, Body: 'secret words' }, { signature });
  expect(answer.status).toBe(403);
  expect(await answer.text()).not.toContain('secret');
  expect(told).toEqual([]);
  expect(refused).toEqual([{ status: 403, why: 'signature' }]);
});

test('a signature for another address is refused, whatever the proxy headers claim', async () => {
  const { base, told } = await line();
  const { carrierSignature } = await import('../../stand-in/carrier-signature.ts');
  const fields = {
    AccountSid: account.accountSid,
    From: account.mother,
    To: account.lineNumber,
    MessageSid: messageSid,
  };
  const answer = await fetch(`${base}/carrier/text`, {
    method: 'POST',
    headers: {
      'content-type': 'application/x-www-form-urlencoded',
      'x-forwarded-host': 'evil.example.test',
      'x-forwarded-proto': 'https',
      'x-twilio-signature': carrierSignature(
        account.authToken,
        'https://evil.example.test/carrier/text',
        Object.entries(fields),
      ),
    },
    body: new URLSearchParams(fields).toString(),
  });
  expect(answer.status).toBe(403);
  expect(told).toEqual([]);
});

test.each([
  ['another account', { AccountSid: `AC${'b'.repeat(32)}` }, 403],
  ['another number', { To: '+447700900999' }, 403],
  ['no account', { AccountSid: '' }, 400],
  ['no number', { To: '' }, 400],
  ['no sender', { From: '' }, 400],
  ['no id', { MessageSid: '' }, 400],
  ['an id of a call', { MessageSid: callSid }, 400],
  ['an id that swallowed other fields', { MessageSid: `${messageSid}NumMedia0` }, 400],
])('a signed text with %s is refused', async (_name, change, status) => {
  const { post, told } = await line();
  expect((await post('/carrier/text', { MessageSid: messageSid, ...change })).status).toBe(status);
  expect(told).toEqual([]);
});

test('a field sent twice is refused', async () => {
  const { base, told } = await line();
  const { carrierSignature } = await import('../../stand-in/carrier-signature.ts');
  const pairs: [string, string][] = [
    ['AccountSid', account.accountSid],
    ['From', account.mother],
    ['To', account.lineNumber],
    ['MessageSid', messageSid],
    ['Body', 'one'],
    ['Body', 'two'],
  ];
  const answer = await fetch(`${base}/carrier/text`, {
    method: 'POST',
    headers: {
      'x-twilio-signature': carrierSignature(account.authToken, `${account.publicUrl}/carrier/text`, pairs),
    },
    body: new URLSearchParams(pairs),
  });
  expect(answer.status).toBe(400);
  expect(told).toEqual([]);
});

test('what is not a form posted in UTF-8 is refused', async () => {
  const { post, told, base } = await line();
  const text = { MessageSid: messageSid, Body: 'x' };
  expect((await post('/carrier/text', text, { method: 'GET' })).status).toBe(405);
  expect((await post('/carrier/text', text, { method: 'PUT' })).status).toBe(405);
  const json = { contentType: 'application/json', body: JSON.stringify(text) };
  expect((await post('/carrier/text', text, json)).status).toBe(415);
  const latin = { contentType: 'application/x-www-form-urlencoded; charset=latin1' };
  expect((await post('/carrier/text', text, latin)).status).toBe(415);
  const packed = { headers: { 'content-encoding': 'gzip' } };
  expect((await post('/carrier/text', text, packed)).status).toBe(415);
  expect((await post('/carrier/text', text, { body: 'Body=%zz' })).status).toBe(400);
  expect((await fetch(`${base}/carrier/nothing`, { method: 'POST' })).status).toBe(404);
  const utf8 = { contentType: 'application/x-www-form-urlencoded; charset=UTF-8' };
  expect((await post('/carrier/text', text, utf8)).status).toBe(200);
  expect(told).toHaveLength(1);
});

test('a body over 64 KB is refused, with or without its length told', async () => {
  const { post, told, base } = await line();
  const text = { MessageSid: messageSid };
  expect((await post('/carrier/text', { ...text, Body: 'a'.repeat(70_000) })).status).toBe(413);
  const stream = new ReadableStream({
    start(controller) {
      for (let part = 0; part < 70; part += 1) controller.enqueue(new TextEncoder().encode('a'.repeat(1024)));
      controller.close();
    },
  });
  const chunked = await fetch(`${base}/carrier/text`, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: stream,
    duplex: 'half',
  } as RequestInit);
  expect(chunked.status).toBe(413);
  const many = Object.fromEntries(Array.from({ length: 250 }, (_, index) => [`Field${index}`, '1']));
  expect((await post('/carrier/text', { ...text, ...many })).status).toBe(413);
  expect((await post('/carrier/text', { ...text, Body: 'a'.repeat(60_000) })).status).toBe(200);
  expect(told).toHaveLength(1);
});

test('a store that is away is answered with 503, so that the fallback speaks', async () => {
  const { post } = await line(() => {
    throw new StoreUnavailable('the disk is full');
  });
  const answer = await post('/carrier/text', { MessageSid: messageSid, Body: 'secret words' });
  expect(answer.status).toBe(503);
  expect(await answer.text()).not.toMatch(/secret|disk/);
  const text = await post('/carrier/fallback-text', { MessageSid: messageSid, ErrorCode: '11200' });
  expect(await text.text()).toContain('<Message>Sorry by text.</Message>');
  const call = await post('/carrier/fallback-call', { CallSid: callSid, ErrorCode: '11200' });
  expect(await call.text()).toMatch(/<Say [^>]*>Sorry by call\.<\/Say><Hangup\/>/);
  expect((await post('/carrier/fallback-text', {}, { signature: 'x' })).status).toBe(403);
});

test('a fault in the service is a 500 that tells nothing but a request id, and the log holds no words', async () => {
  const { post, logged } = await line((inbound) => {
    throw new TypeError(`cannot read ${JSON.stringify(inbound)}`);
  });
  const answer = await post('/carrier/text', { MessageSid: messageSid, Body: 'secret words' });
  expect(answer.status).toBe(500);
  expect(await answer.text()).toMatch(/^Something went wrong\. Request [0-9a-f-]{36}$/);
  expect(JSON.stringify(logged)).toContain('TypeError');
  expect(JSON.stringify(logged)).not.toMatch(/secret|\+4477/);
});
