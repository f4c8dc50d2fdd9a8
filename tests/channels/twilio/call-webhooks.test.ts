import { afterEach, expect, test } from 'vitest';
import type { Inbound, Reply } from '../../../src/channels/carrier.ts';
import { account, callSid, messageSid, type WebhookLine, webhookLine } from '../../stand-in/webhook-line.ts';

const open: WebhookLine[] = [];
const line = async (receive: (inbound: Inbound) => Reply = () => ({ kind: 'nothing' })) => {
  const made = await webhookLine(receive);
  open.push(made);
  return made;
};
afterEach(async () => {
  await Promise.all(open.splice(0).map((each) => each.close()));
});

const fromLine = { From: account.lineNumber, To: account.mother };

test('a ring is turned away as busy', async () => {
  const { post, told } = await line(() => ({ kind: 'busy' }));
  const answer = await post('/carrier/call', { CallSid: callSid, CallStatus: 'ringing' });
  expect(await answer.text()).toContain('<Response><Reject reason="busy"/></Response>');
  expect(told).toEqual([
    { kind: 'call-rang', id: `${callSid}:rang`, from: account.mother, to: account.lineNumber },
  ]);
});

test.each(['anonymous', '+266696687', '+7378742833', 'client:desk', '12345', '+0123456789'])(
  'a ring from %s has no number',
  async (from) => {
    const { post, told } = await line(() => ({ kind: 'busy' }));
    expect((await post('/carrier/call', { CallSid: callSid, From: from })).status).toBe(200);
    expect(told).toMatchObject([{ kind: 'call-rang', from: undefined }]);
  },
);

test('an answered call asks, and each step of keys has its own id and address', async () => {
  const { post, told } = await line(() => ({
    kind: 'ask',
    say: 'How many feeds?',
    language: 'en',
    digits: 2,
  }));
  const answered = await post('/carrier/answer?outbox=out-1', { CallSid: callSid, ...fromLine });
  expect(await answered.text()).toContain(`action="${account.publicUrl}/carrier/keys?n=1"`);
  const first = await post('/carrier/keys?n=1', { CallSid: callSid, Digits: '9', ...fromLine });
  expect(await first.text()).toContain(`action="${account.publicUrl}/carrier/keys?n=2"`);
  await post('/carrier/keys?n=2', { CallSid: callSid, Digits: '', ...fromLine });
  await post('/carrier/keys?n=2', { CallSid: callSid, ...fromLine });
  expect(told).toEqual([
    {
      kind: 'call-answered',
      id: `${callSid}:answered`,
      callId: callSid,
      party: account.mother,
      outboxId: 'out-1',
    },
    { kind: 'keys', id: `${callSid}:keys:1`, callId: callSid, party: account.mother, digits: '9' },
    { kind: 'keys', id: `${callSid}:keys:2`, callId: callSid, party: account.mother, digits: '' },
    { kind: 'keys', id: `${callSid}:keys:2`, callId: callSid, party: account.mother, digits: '' },
  ]);
});

test('keys in a call that she placed belong to her too', async () => {
  const { post, told } = await line(() => ({ kind: 'say-and-end', say: 'Thank you.', language: 'hi' }));
  const answer = await post('/carrier/keys?n=4', { CallSid: callSid, Digits: '1*#' });
  expect(told).toMatchObject([{ kind: 'keys', party: account.mother, digits: '1*#' }]);
  expect(await answer.text()).toMatch(/<Say [^>]*language="hi-IN"[^>]*>Thank you\.<\/Say><Hangup\/>/);
});

test.each(['9'.repeat(200), 'ABCD', '<x>', '１２'])('the odd keys %s count as none', async (digits) => {
  const { post, told } = await line();
  expect((await post('/carrier/keys?n=1', { CallSid: callSid, Digits: digits, ...fromLine })).status).toBe(
    200,
  );
  expect(told).toMatchObject([{ kind: 'keys', digits: '' }]);
});

test.each(['/carrier/keys', '/carrier/keys?n=0', '/carrier/keys?n=x', '/carrier/keys?n=1&n=2'])(
  'keys for the address %s, which the line never gave, are refused',
  async (path) => {
    const { post, told } = await line();
    expect((await post(path, { CallSid: callSid, Digits: '1', ...fromLine })).status).toBe(400);
    expect(told).toEqual([]);
  },
);

test('a call between two strangers is refused', async () => {
  const { post, told } = await line();
  const strangers = { CallSid: callSid, From: '+447700900777', To: '+447700900778', CallStatus: 'completed' };
  for (const path of ['/carrier/answer', '/carrier/keys?n=1', '/carrier/call-status', '/carrier/call']) {
    expect((await post(path, strangers)).status).toBe(403);
  }
  expect(told).toEqual([]);
});

test('only the end of a call is told', async () => {
  const { post, told } = await line();
  for (const status of ['initiated', 'queued', 'ringing', 'answered', 'in-progress', 'no-answer']) {
    const answer = await post('/carrier/call-status?outbox=out-1', {
      CallSid: callSid,
      CallStatus: status,
      ...fromLine,
    });
    expect(answer.status).toBe(204);
  }
  expect(told).toEqual([
    {
      kind: 'call-ended',
      id: `${callSid}:ended`,
      callId: callSid,
      party: account.mother,
      status: 'no-answer',
      outboxId: 'out-1',
    },
  ]);
});

test('a receipt carries our own id, the status and the error', async () => {
  const { post, told } = await line();
  const receipt = { MessageSid: messageSid, ...fromLine };
  const path = '/carrier/receipt?outbox=line%3A7%2Fa';
  expect((await post(path, { ...receipt, MessageStatus: 'delivered' })).status).toBe(204);
  await post(path, { ...receipt, MessageStatus: 'undelivered', ErrorCode: '30003' });
  const common = { kind: 'receipt', outboxId: 'line:7/a', carrierId: messageSid };
  expect(told).toEqual([
    { ...common, id: `${messageSid}:delivered`, status: 'delivered', errorCode: undefined },
    {
      ...common,
      id: `${messageSid}:undelivered`,
      status: 'undelivered',
      errorCode: 30003,
      fault: 'unreachable',
    },
  ]);
  expect((await post('/carrier/receipt', { ...receipt, MessageStatus: 'sent' })).status).toBe(400);
  expect((await post(path, { ...receipt, MessageStatus: '<b>' })).status).toBe(400);
  expect((await post(path, receipt)).status).toBe(400);
});
