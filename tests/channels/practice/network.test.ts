import { afterEach, expect, test, vi } from 'vitest';
import type { Inbound, Reply } from '../../../src/channels/carrier.ts';
import { StoreUnavailable } from '../../../src/errors.ts';
import { counsellor, lineNumber, type PracticeLine, practiceLine } from '../../stand-in/practice-line.ts';

const mother = '+447700900101';
const open: PracticeLine[] = [];
const line = async (
  receive: (inbound: Inbound, line: PracticeLine) => Promise<Reply> | Reply,
  secondMs?: number,
) => {
  const made = await practiceLine(receive, secondMs);
  open.push(made);
  return made;
};
afterEach(async () => {
  await Promise.all(open.splice(0).map((each) => each.close()));
});
const shown = (practice: PracticeLine, number: string) =>
  practice.network.phones.get(number).thread.map(({ kind, text }) => `${kind}: ${text}`);
const call = (practice: PracticeLine, number: string) => practice.network.phones.get(number).call;
const ask = (say: string, digits: number | 'hash'): Reply => ({ kind: 'ask', say, language: 'en', digits });
const counting = (digits: number | 'hash') => {
  let step = 0;
  return (inbound: Inbound): Reply => {
    if (inbound.kind === 'call-ended' || inbound.kind === 'receipt') return { kind: 'nothing' };
    step += 1;
    return step > 3
      ? { kind: 'say-and-end', say: 'Thank you.', language: 'en' }
      : ask(`Question ${step}`, digits);
  };
};

test('a text travels the signed road and its answer is on the screen', async () => {
  const practice = await line((inbound) => ({
    kind: 'text',
    body: `You wrote <${inbound.kind === 'text' ? inbound.body : ''}>`,
  }));
  await practice.network.textLine(mother, 'नमस्ते & 9 6');
  expect(shown(practice, mother)).toEqual(['sent: नमस्ते & 9 6', 'received: You wrote <नमस्ते & 9 6>']);
  expect(practice.told).toMatchObject([{ kind: 'text', from: mother, to: lineNumber, body: 'नमस्ते & 9 6' }]);
});

test('a text sent by the line arrives, and its receipts go back with our own id', async () => {
  const practice = await line(() => ({ kind: 'nothing' }));
  const { carrierId } = await practice.carrier.sendText({
    id: 'line 7/1',
    to: counsellor.number,
    body: 'ALERT',
  });
  expect(shown(practice, counsellor.number)).toEqual(['received: ALERT']);
  await vi.waitFor(() => expect(practice.told).toHaveLength(2));
  expect(practice.told).toMatchObject([
    { kind: 'receipt', outboxId: 'line 7/1', carrierId, status: 'sent' },
    { kind: 'receipt', outboxId: 'line 7/1', carrierId, status: 'delivered' },
  ]);
});

test('an answer that wants receipts gets them, with the id that it asked for; another gets none', async () => {
  const practice = await line((inbound) => {
    if (inbound.kind !== 'text') return { kind: 'nothing' };
    const wants = inbound.body === 'fever' ? { receiptId: 'line.7.reply' } : {};
    return { kind: 'text', body: 'Go to "the" clinic & call', ...wants };
  });
  await practice.network.textLine(mother, 'hello');
  await practice.network.textLine(mother, 'fever');
  expect(shown(practice, mother).at(-1)).toBe('received: Go to "the" clinic & call');
  await vi.waitFor(() => expect(practice.told.filter((t) => t.kind === 'receipt')).toHaveLength(2));
  expect(practice.told.filter((t) => t.kind === 'receipt')).toMatchObject([
    { outboxId: 'line.7.reply', status: 'sent' },
    { outboxId: 'line.7.reply', status: 'delivered' },
  ]);
});

test('when the line fails, its apology is heard; when it is away, the phone says so', async () => {
  const practice = await line(() => {
    throw new StoreUnavailable('gone');
  });
  await practice.network.textLine(mother, 'hello');
  expect(shown(practice, mother)).toEqual(['sent: hello', 'received: Sorry by text.']);
  await practice.close();
  await practice.network.textLine(mother, 'hello again');
  expect(shown(practice, mother).at(-1)).toBe('remark: not-sent');
});

test('a ring is turned away, and the line calls back', async () => {
  const practice = await line(async (inbound, { carrier }) => {
    if (inbound.kind !== 'call-rang') return counting(1)(inbound);
    setImmediate(() => void carrier.placeCall({ id: 'back-1', to: mother }));
    return { kind: 'busy' };
  });
  await practice.network.calls.dial(mother);
  expect(shown(practice, mother)).toEqual(['remark: busy']);
  await vi.waitFor(() => expect(call(practice, mother)?.stage).toBe('ringing'));
  await practice.network.calls.answer(mother);
  expect(call(practice, mother)).toMatchObject({
    stage: 'talking',
    listening: true,
    words: [{ text: 'Question 1' }],
  });
  await practice.network.calls.hangUp(mother);
  expect(practice.told.map(({ kind }) => kind)).toEqual(['call-rang', 'call-answered', 'call-ended']);
  expect(practice.told.at(-1)).toMatchObject({ status: 'completed', outboxId: 'back-1', party: mother });
});

test('one key ends a one-key question, # too', async () => {
  const practice = await line(counting(1));
  await practice.carrier.placeCall({ id: 'c', to: mother });
  await practice.network.calls.answer(mother);
  await practice.network.calls.press(mother, '4');
  await practice.network.calls.press(mother, '#');
  await practice.network.calls.press(mother, 'x');
  const keys = practice.told.flatMap((inbound) =>
    inbound.kind === 'keys' ? [[inbound.digits, inbound.id.slice(-1)]] : [],
  );
  expect(keys).toEqual([
    ['4', '1'],
    ['#', '2'],
  ]);
  await practice.network.calls.press(mother, '7');
  expect(call(practice, mother)).toMatchObject({
    stage: 'ended',
    ending: 'call-over',
    words: [{ text: 'Question 1' }, { text: 'Question 2' }, { text: 'Question 3' }, { text: 'Thank you.' }],
  });
});

test('a number of any length ends with #, which is not part of it', async () => {
  const practice = await line(counting('hash'));
  await practice.carrier.placeCall({ id: 'c', to: mother });
  await practice.network.calls.answer(mother);
  for (const key of ['2', '9', '5', '0', '#']) await practice.network.calls.press(mother, key);
  await practice.network.calls.press(mother, '#');
  expect(practice.told.filter(({ kind }) => kind === 'keys')).toMatchObject([
    { digits: '2950' },
    { digits: '' },
  ]);
});

test('a number of two keys ends at the second or at #', async () => {
  const practice = await line(counting(2));
  await practice.carrier.placeCall({ id: 'c', to: mother });
  await practice.network.calls.answer(mother);
  for (const key of ['1', '2', '9', '#']) await practice.network.calls.press(mother, key);
  expect(practice.told.filter(({ kind }) => kind === 'keys')).toMatchObject([
    { digits: '12' },
    { digits: '9' },
  ]);
});

test('silence is heard by the line, and so is a half-typed number', async () => {
  const practice = await line(counting('hash'), 5);
  await practice.carrier.placeCall({ id: 'c', to: mother });
  await practice.network.calls.answer(mother);
  await vi.waitFor(() =>
    expect(practice.told.filter(({ kind }) => kind === 'keys')).toMatchObject([{ digits: '' }]),
  );
  await practice.network.calls.press(mother, '8');
  await vi.waitFor(() =>
    expect(practice.told.filter(({ kind }) => kind === 'keys')).toMatchObject([
      { digits: '' },
      { digits: '8' },
    ]),
  );
});

test('a call that nobody answers, one declined, and one to a phone in a call are told apart', async () => {
  const practice = await line(counting(1), 20);
  await practice.carrier.placeCall({ id: 'unanswered', to: mother });
  await vi.waitFor(() =>
    expect(practice.told).toMatchObject([
      { kind: 'call-ended', outboxId: 'unanswered', status: 'no-answer' },
    ]),
  );
  expect(shown(practice, mother)).toEqual(['remark: missed']);
  await practice.carrier.placeCall({ id: 'declined', to: mother });
  await practice.network.calls.hangUp(mother);
  expect(practice.told.at(-1)).toMatchObject({ outboxId: 'declined', status: 'busy' });
  await practice.carrier.placeCall({ id: 'first', to: mother });
  await practice.carrier.placeCall({ id: 'second', to: mother });
  await vi.waitFor(() =>
    expect(practice.told).toContainEqual(expect.objectContaining({ outboxId: 'second', status: 'busy' })),
  );
  expect(call(practice, mother)?.stage).toBe('ringing');
});

test('a screen keeps the latest 200 things', async () => {
  const practice = await line(() => ({ kind: 'nothing' }));
  for (let count = 1; count <= 250; count += 1) practice.network.phones.add(mother, 'received', `${count}`);
  expect(shown(practice, mother)).toHaveLength(200);
  expect(shown(practice, mother).at(-1)).toBe('received: 250');
});
