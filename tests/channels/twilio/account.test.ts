import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import RequestClient from 'twilio/lib/base/RequestClient.js';
import { afterEach, expect, test } from 'vitest';
import { accountFacts } from '../../../src/channels/twilio/account.ts';
import { CarrierRefused, CarrierUnreachable } from '../../../src/errors.ts';

const accountSid = `AC${'0'.repeat(32)}`;
const serviceSid = `MG${'0'.repeat(32)}`;
const number = '+447700900999';
const closing: (() => void)[] = [];
afterEach(() => {
  for (const close of closing.splice(0)) close();
});

/** The SDK's own client asking a server on loopback, whatever host it meant. */
async function carrierThatAnswers(answer: (path: string) => { status: number; body: unknown } | undefined) {
  const asked: string[] = [];
  const server = createServer((request, response) => {
    asked.push(request.url ?? '');
    const given = answer((request.url ?? '').split('?')[0] ?? '');
    if (given === undefined) request.socket.destroy();
    else
      response
        .writeHead(given.status, { 'content-type': 'application/json' })
        .end(JSON.stringify(given.body));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  closing.push(() => server.close());
  const { port } = server.address() as AddressInfo;
  const httpClient = new (class extends RequestClient {
    override request<Data>(options: RequestClient.RequestOptions<Data>) {
      const { pathname, search } = new URL(options.uri);
      return super.request<Data>({ ...options, uri: `http://127.0.0.1:${port}${pathname}${search}` });
    }
  })({ timeout: 2000, keepAlive: false });
  return { asked, httpClient };
}

const options = { accountSid, authToken: 'a secret that is long', number };
/** Answers in the forms of the carrier's REST documentation, as its SDK's typings have them. */
const owned = {
  phone_number: number,
  capabilities: { sms: true, voice: true, mms: false },
  sms_url: 'https://line.programme.org/carrier/text',
  sms_fallback_url: '',
  voice_url: null,
  voice_fallback_url: null,
};
const page = { page: 0, page_size: 50, next_page_uri: null, uri: '' };

test('reads the account, its number and its messaging service', async () => {
  const { asked, httpClient } = await carrierThatAnswers((path) => {
    if (path.endsWith('/IncomingPhoneNumbers.json'))
      return { status: 200, body: { ...page, incoming_phone_numbers: [owned] } };
    if (path.endsWith('/PhoneNumbers'))
      return {
        status: 200,
        body: {
          meta: { page: 0, page_size: 50, key: 'phone_numbers', next_page_url: null },
          phone_numbers: [{ phone_number: number }],
        },
      };
    if (path.includes('/Services/'))
      return {
        status: 200,
        body: { sid: serviceSid, inbound_request_url: 'https://x.org', use_inbound_webhook_on_number: true },
      };
    return { status: 200, body: { sid: accountSid, status: 'active', type: 'Trial' } };
  });
  expect(await accountFacts({ ...options, messagingServiceSid: serviceSid, httpClient })).toEqual({
    status: 'active',
    isTrial: true,
    number: {
      takesTexts: true,
      takesCalls: true,
      text: 'https://line.programme.org/carrier/text',
      textFallback: null,
      call: null,
      callFallback: null,
    },
    service: { text: null, hasNumber: true },
  });
  expect(asked[1]).toContain('PhoneNumber=%2B447700900999');
});

test('an account that owns no such number has none', async () => {
  const { httpClient } = await carrierThatAnswers((path) =>
    path.endsWith('/IncomingPhoneNumbers.json')
      ? { status: 200, body: { ...page, incoming_phone_numbers: [] } }
      : { status: 200, body: { sid: accountSid, status: 'active', type: 'Full' } },
  );
  const facts = await accountFacts({ ...options, messagingServiceSid: undefined, httpClient });
  expect(facts).toEqual({ status: 'active', isTrial: false, number: undefined, service: undefined });
});

test('says which of the two it is: refused, or no answer', async () => {
  const refused = await carrierThatAnswers(() => ({
    status: 401,
    body: { code: 20003, message: 'Authenticate', more_info: '', status: 401 },
  }));
  const silent = await carrierThatAnswers(() => undefined);
  const ask = ({ httpClient }: typeof silent) =>
    accountFacts({ ...options, messagingServiceSid: undefined, httpClient });
  await expect(ask(refused)).rejects.toThrow(CarrierRefused);
  await expect(ask(silent)).rejects.toThrow(CarrierUnreachable);
});
