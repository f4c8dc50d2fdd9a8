import { afterEach, beforeEach, expect, test } from 'vitest';
import { newPhoneNumber, practiceMothers } from '../../../src/channels/practice/people.ts';
import { counsellor, type PracticeLine, practiceLine, practiceStart } from '../../stand-in/practice-line.ts';

let line: PracticeLine;
beforeEach(async () => {
  line = await practiceLine(() => ({ kind: 'text', body: 'ok </script>' }));
});
afterEach(() => line.close());

const post = (path: string, body: unknown, headers: Record<string, string> = {}) =>
  fetch(`${line.base}/practice/${path}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });

test('the page has both phones, all mothers and the counsellor, and nothing inline that runs', async () => {
  const answer = await fetch(line.base);
  const page = await answer.text();
  expect(answer.headers.get('content-security-policy')).toContain("script-src 'self'");
  for (const { name, number } of [...practiceMothers, counsellor]) {
    expect(page).toContain(`<option value="${number}">${name}</option>`);
  }
  expect(page).not.toMatch(/<script(?![^>]*(src=|application\/json))|\son[a-z]+=|style=/);
  for (const [path, type] of [
    ['page.js', 'text/javascript'],
    ['page.css', 'text/css'],
    ['icon.svg', 'image/svg+xml'],
  ]) {
    const file = await fetch(`${line.base}/practice/${path}`);
    expect(file.headers.get('content-type')).toContain(type);
  }
});

test('there are five mothers, of different ages, with invented numbers', () => {
  expect(practiceMothers).toHaveLength(5);
  expect(new Set(practiceMothers.map(({ ageYears }) => ageYears)).size).toBe(5);
  expect(new Set(practiceMothers.map(({ number }) => number)).size).toBe(5);
  for (const { number } of practiceMothers) expect(number).toMatch(/^\+447700900\d{3}$/);
});

test('a text from the page reaches the line', async () => {
  const number = practiceMothers[0]?.number ?? '';
  expect((await post('text', { number, body: 'hello' })).status).toBe(204);
  expect(line.told).toMatchObject([{ kind: 'text', from: number, body: 'hello' }]);
  expect(line.network.phones.get(number).thread.map(({ text }) => text)).toEqual(['hello', 'ok </script>']);
});

test('the clock moves forward only, and to the next morning', async () => {
  expect(await (await post('clock', { forwardMinutes: 60 })).json()).toEqual({
    now: practiceStart + 3_600_000,
  });
  await post('clock', { to: 'morning' });
  // 09:00 in India is 03:30 UTC.
  expect(new Date(line.now()).toISOString()).toBe('2026-03-03T03:30:00.000Z');
  for (const move of [
    { forwardMinutes: 0 },
    { forwardMinutes: -5 },
    { forwardMinutes: 1.5 },
    {},
    { to: 'noon' },
  ]) {
    expect((await post('clock', move)).status).toBe(400);
  }
  expect(new Date(line.now()).toISOString()).toBe('2026-03-03T03:30:00.000Z');
});

test('what the page would not send is refused', async () => {
  const number = practiceMothers[0]?.number ?? '';
  expect((await post('text', { number, body: '' })).status).toBe(400);
  expect((await post('text', { number, body: 'x', more: 1 })).status).toBe(400);
  expect((await post('text', { number: 'x', body: 'x' })).status).toBe(400);
  expect((await post('key', { number, key: '12' })).status).toBe(400);
  expect((await post('text', '{')).status).toBe(400);
  expect((await post('text', { number, body: 'a'.repeat(20_000) })).status).toBe(413);
  expect((await post('text', { number, body: 'x' }, { 'content-type': 'text/plain' })).status).toBe(415);
  const foreign = { 'sec-fetch-site': 'cross-site' };
  expect((await post('text', { number, body: 'x' }, foreign)).status).toBe(403);
  expect(line.told).toEqual([]);
});

test('a page that opens later sees what was there, and then what comes', async () => {
  line.network.phones.add(counsellor.number, 'received', 'before');
  const stop = new AbortController();
  const answer = await fetch(`${line.base}/practice/events`, { signal: stop.signal });
  expect(answer.headers.get('content-type')).toContain('text/event-stream');
  const reader = answer.body?.pipeThrough(new TextDecoderStream()).getReader();
  let seen = '';
  const until = async (words: string) => {
    while (!seen.includes(words)) seen += (await reader?.read())?.value ?? '';
  };
  await until('before');
  expect(seen).toContain(`event: clock\ndata: {"now":${practiceStart}}`);
  line.network.phones.add(counsellor.number, 'received', 'two\nlines');
  await until('two\\nlines');
  await post('clock', { forwardMinutes: 60 });
  await until(`{"now":${practiceStart + 3_600_000}}`);
  stop.abort();
});

test('a new phone has a number that nobody has, from the range for fiction', async () => {
  const given = (await (await post('new-phone', {})).json()) as { number: string };
  expect(given.number).toMatch(/^\+447700900[2-8]\d\d$/);
  expect(
    newPhoneNumber(
      (number) => number !== '+447700900200',
      () => 0.999,
    ),
  ).toBe('+447700900200');
  expect(
    newPhoneNumber(
      () => true,
      () => 0,
    ),
  ).toBeUndefined();
});
