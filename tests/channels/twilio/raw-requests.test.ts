import { connect } from 'node:net';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { carrierSignature } from '../../stand-in/carrier-signature.ts';
import { account, messageSid, type WebhookLine, webhookLine } from '../../stand-in/webhook-line.ts';

let line: WebhookLine;
beforeEach(async () => {
  line = await webhookLine(() => ({ kind: 'text', body: 'ok' }));
});
afterEach(() => line.close());

const fields = Object.entries({
  AccountSid: account.accountSid,
  From: account.mother,
  To: account.lineNumber,
  MessageSid: messageSid,
  Body: 'hello',
});
const body = new URLSearchParams(fields).toString();
const head = (target: string, signedUrl: string, length = body.length) =>
  [
    `POST ${target} HTTP/1.1`,
    'Host: evil.example.test',
    'Content-Type: application/x-www-form-urlencoded',
    `Content-Length: ${length}`,
    `X-Twilio-Signature: ${carrierSignature(account.authToken, signedUrl, fields)}`,
    'Connection: close',
    '\r\n',
  ].join('\r\n');

/** Sends bytes as they are, and gives the status line; hangs up after `cutAfterMs` when told. */
function send(bytes: string, cutAfterMs?: number): Promise<string> {
  return new Promise((resolve) => {
    const socket = connect(Number(new URL(line.base).port), '127.0.0.1', () => socket.write(bytes));
    let heard = '';
    socket.on('data', (chunk) => {
      heard += chunk.toString();
    });
    socket.on('close', () => resolve(heard.split('\r\n')[0] ?? ''));
    if (cutAfterMs !== undefined) setTimeout(() => socket.destroy(), cutAfterMs);
  });
}

test('the Host header is not believed, so a right signature holds with any', async () => {
  const bytes = head('/carrier/text', `${account.publicUrl}/carrier/text`) + body;
  expect(await send(bytes)).toBe('HTTP/1.1 200 OK');
});

test('a whole address in the request line is not believed either', async () => {
  for (const signedUrl of ['http://evil.example.test/carrier/text', `${account.publicUrl}/carrier/text`]) {
    expect(await send(head('http://evil.example.test/carrier/text', signedUrl) + body)).toBe(
      'HTTP/1.1 403 Forbidden',
    );
  }
  expect(line.told).toEqual([]);
});

test('a body that breaks off half-way is told to nobody, and is no fault of the line', async () => {
  await send(head('/carrier/text', `${account.publicUrl}/carrier/text`, 500) + body.slice(0, 40), 50);
  await vi.waitFor(() => expect(line.refused).toEqual([{ status: 400, why: 'body' }]));
  expect(line.told).toEqual([]);
  expect(line.logged).toEqual([]);
  expect((await line.post('/carrier/text', { MessageSid: messageSid })).status).toBe(200);
});
