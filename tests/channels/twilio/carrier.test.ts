import { afterEach, beforeEach, expect, test } from 'vitest';
import type { Carrier } from '../../../src/channels/carrier.ts';
import { twilioCarrier } from '../../../src/channels/twilio/carrier.ts';
import { CarrierRefused, CarrierUnreachable } from '../../../src/errors.ts';
import { type Behaviour, type CarrierRest, carrierRest } from '../../stand-in/carrier-rest.ts';
import { tooMany } from '../../stand-in/rest-answers.ts';
import { account } from '../../stand-in/webhook-line.ts';

let rest: CarrierRest;
let carrier: Carrier;
beforeEach(async () => {
  rest = await carrierRest(300);
  carrier = twilioCarrier({ ...account, sender: account.lineNumber, httpClient: rest.httpClient });
});
afterEach(() => rest.close());

const text = { id: 'line 7/1', to: account.mother, body: 'दूध पिलाइए + 8 & more' };
const basic = Buffer.from(`${account.accountSid}:${account.authToken}`).toString('base64');

test('a text goes out with our own id in the address of its receipt', async () => {
  const { carrierId } = await carrier.sendText({ ...text, validForSeconds: 3600 });
  expect(carrierId).toMatch(/^SM[0-9a-f]{32}$/);
  expect(rest.requests).toHaveLength(1);
  expect(rest.requests[0]).toMatchObject({
    method: 'POST',
    path: `/2010-04-01/Accounts/${account.accountSid}/Messages.json`,
    authorization: `Basic ${basic}`,
  });
  expect(Object.fromEntries(rest.requests[0]?.form ?? [])).toEqual({
    From: account.lineNumber,
    To: account.mother,
    Body: text.body,
    StatusCallback: `${account.publicUrl}/carrier/receipt?outbox=line%207%2F1`,
    ValidityPeriod: '3600',
  });
});

test('with a messaging service the service chooses the sender', async () => {
  const serviceSid = `MG${'c'.repeat(32)}`;
  const withService = twilioCarrier({
    ...account,
    sender: account.lineNumber,
    messagingServiceSid: serviceSid,
    httpClient: rest.httpClient,
  });
  await withService.sendText(text);
  const form = Object.fromEntries(rest.requests[0]?.form ?? []);
  expect(form).toMatchObject({ MessagingServiceSid: serviceSid });
  expect(form).not.toHaveProperty('From');
});

test('a call is placed with its answer, its end and its fallback, and is not recorded', async () => {
  const { carrierId } = await carrier.placeCall({ id: 'call-1', to: account.mother });
  expect(carrierId).toMatch(/^CA[0-9a-f]{32}$/);
  expect(rest.requests[0]?.path).toBe(`/2010-04-01/Accounts/${account.accountSid}/Calls.json`);
  expect(Object.fromEntries(rest.requests[0]?.form ?? [])).toEqual({
    From: account.lineNumber,
    To: account.mother,
    Url: `${account.publicUrl}/carrier/answer?outbox=call-1`,
    Method: 'POST',
    FallbackUrl: `${account.publicUrl}/carrier/fallback-call`,
    FallbackMethod: 'POST',
    StatusCallback: `${account.publicUrl}/carrier/call-status?outbox=call-1`,
    StatusCallbackMethod: 'POST',
    StatusCallbackEvent: 'completed',
    Timeout: '25',
  });
});

const refusal = (status: number, code: number): Behaviour => ({
  kind: 'answer',
  status,
  body: JSON.stringify({
    code,
    message: `The number ${account.mother} is not valid`,
    more_info: 'x',
    status,
  }),
});

// Codes 21211, 21610, 20429, 20003 as in the carrier's error list, from memory; 20500 is a fault on its side.
test.each([
  [400, 21211],
  [400, 21610],
  [429, 20429],
  [401, 20003],
  [500, 20500],
])('a no with HTTP %i and code %i is CarrierRefused, asked once', async (status, code) => {
  rest.behaviours.push(refusal(status, code));
  const error = await carrier.sendText(text).catch((thrown: unknown) => thrown);
  expect(error).toBeInstanceOf(CarrierRefused);
  expect(error).toMatchObject({ carrierCode: code, httpStatus: status });
  expect(rest.requests).toHaveLength(1);
});

test('a no without a code keeps its status', async () => {
  rest.behaviours.push({ kind: 'answer', status: 404, body: 'not here', type: 'text/plain' });
  await expect(carrier.sendText(text)).rejects.toMatchObject({
    code: 'carrier-refused',
    carrierCode: undefined,
    httpStatus: 404,
  });
});

test.each<[string, Behaviour]>([
  ['never answers', { kind: 'hang' }],
  ['answers too late', { kind: 'accept-slowly', afterMs: 600 }],
  ['breaks off', { kind: 'reset' }],
  ['breaks off after taking it', { kind: 'accept-and-reset' }],
  [
    'answers with a page',
    { kind: 'answer', status: 502, body: '<html>Bad gateway</html>', type: 'text/html' },
  ],
  ['answers with no id', { kind: 'answer', status: 201, body: '{"status":"queued"}' }],
  ['answers with what is no JSON', { kind: 'answer', status: 201, body: 'ok' }],
])('a carrier that %s may have sent the text', async (_name, behaviour) => {
  rest.behaviours.push(behaviour);
  const error = await carrier.sendText(text).catch((thrown: unknown) => thrown);
  expect(error).toBeInstanceOf(CarrierUnreachable);
  expect(error).toMatchObject({ mayHaveSent: true });
  expect(rest.requests).toHaveLength(1);
});

test('a carrier that cannot be reached has not sent it', async () => {
  await rest.close();
  await expect(carrier.sendText(text)).rejects.toMatchObject({
    code: 'carrier-unreachable',
    mayHaveSent: false,
  });
  await expect(carrier.placeCall({ id: 'c', to: account.mother })).rejects.toMatchObject({
    mayHaveSent: false,
  });
});

test('no error holds the secret, the number or the words', async () => {
  const behaviours: Behaviour[] = [refusal(400, 21211), { kind: 'hang' }, { kind: 'reset' }];
  for (const behaviour of behaviours) {
    rest.behaviours.push(behaviour);
    const error = await carrier.sendText(text).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(Error);
    const { inspect } = await import('node:util');
    const everything = inspect(error, { depth: 20, showHidden: true });
    for (const secret of [basic, account.authToken, account.mother, 'दूध'])
      expect(everything).not.toContain(secret);
  }
});

test('the SDK’s throw for a missing number becomes one of our errors', async () => {
  const none = { ...text, to: undefined } as unknown as typeof text;
  await expect(carrier.sendText(none)).rejects.toMatchObject({ code: 'carrier-unreachable' });
  expect(rest.requests).toEqual([]);
});

test('a carrier that has too much to do is left alone for as long as it asks', async () => {
  const { status, type, body, headers } = tooMany(7);
  rest.behaviours.push({ kind: 'answer', status, type, body, headers: headers ?? {} });
  const [busy, fine] = await Promise.all([
    carrier.sendText(text).catch((thrown: unknown) => thrown),
    carrier.sendText({ ...text, id: 'another' }).catch((thrown: unknown) => thrown),
  ]);
  const errors = [busy, fine].filter((r) => r instanceof CarrierRefused);
  expect(errors).toHaveLength(1);
  expect(errors[0]).toMatchObject({ fault: 'busy', retryAfterMs: 7_000 });
});

test('asks the carrier to find out about machines only where that is wanted', async () => {
  const finding = twilioCarrier({
    ...account,
    sender: account.lineNumber,
    detectMachines: true,
    httpClient: rest.httpClient,
  });
  await finding.placeCall({ id: 'call-1', to: account.mother });
  expect(Object.fromEntries(rest.requests[0]?.form ?? [])).toMatchObject({ MachineDetection: 'Enable' });
});
