import { execFileSync } from 'node:child_process';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { readExposition } from '../stand-in/exposition.ts';
import { type MainProcess, mainProcess } from './main-process.ts';

/** From Ofcom's range for fiction. */
const mother = '+447700900123';
const counsellor = '+447700900011';
const words = ['zuleika', 'zuleikha', 'marigold', 'drinking', 'fever', 'clinic', 'tuesday'];

let line: MainProcess;
beforeAll(async () => {
  line = await mainProcess({ LOG_LEVEL: 'debug' });
});
afterAll(() => line.dispose());

const text = (number: string, body: string) => line.practice('text', { number, body });
const metrics = async () => readExposition(await (await fetch(line.metricsUrl)).text());

/** The log as its steps; lines that are no JSON are the greeting. */
const logged = () =>
  line
    .output()
    .split('\n')
    .filter((each) => each.startsWith('{'))
    .map((each) => JSON.parse(each) as Readonly<Record<string, unknown>>);

test('a journey with every level on is counted, and its log has no number, name or word of anybody', async () => {
  for (const body of ['join', '1', 'Zuleika', 'Marigold', 'yes', '9 6 4 0']) await text(mother, body);
  await text(mother, 'My baby Zuleikha has fever and is not drinking since Tuesday');
  await vi.waitFor(() => expect(logged().some((step) => step['msg'] === 'send')).toBe(true), 10_000);
  await text(counsellor, 'LIST');
  await line.practice('call', { number: mother });
  await line.practice('clock', { forwardMinutes: 45 });
  await line.practice('clock', { to: 'morning' });
  // What fails is logged too: a forged webhook, and one that cannot be read.
  const forged = { method: 'POST', body: new URLSearchParams({ From: mother, Body: 'fever at the clinic' }) };
  expect((await fetch(`${line.url}/carrier/text`, forged)).status).toBe(403);
  expect((await fetch(`${line.url}/carrier/text?Body=fever`, { ...forged, body: 'x=1' })).status).toBe(415);
  await text(mother, 'STOP');

  const read = await metrics();
  expect(read.value('eightfeeds_turns_total', { kind: 'text', outcome: 'committed' })).toBeGreaterThan(5);
  expect(read.value('eightfeeds_danger_told_total', { tier: 'A', sure: 'true' })).toBeGreaterThan(0);
  expect(read.value('eightfeeds_alerts_raised_total', { tier: 'A' })).toBe(1);
  const sent = { channel: 'text', purpose: 'alert', outcome: 'sent' };
  expect(read.value('eightfeeds_sends_total', sent)).toBeGreaterThan(0);
  expect(read.value('eightfeeds_receipts_total', { state: 'delivered' })).toBeGreaterThan(0);
  expect(read.value('eightfeeds_webhooks_refused_total', { status: '403' })).toBe(1);
  expect(read.value('eightfeeds_alerts_unacknowledged', { tier: 'A' })).toBe(1);
  expect(read.value('eightfeeds_alert_oldest_unacknowledged_seconds', { tier: 'A' })).toBeGreaterThanOrEqual(
    45 * 60,
  );
  expect(read.value('eightfeeds_worker_last_look_timestamp_seconds', { at: 'due' })).toBeGreaterThan(0);

  const told = `${line.output()}\n${await (await fetch(line.metricsUrl)).text()}`.toLowerCase();
  expect(logged().length).toBeGreaterThan(20);
  for (const word of words) expect(told, word).not.toContain(word);
  for (const number of [mother, counsellor]) {
    expect(told).not.toContain(number.slice(1));
    expect(told).not.toContain(number.slice(-10));
  }
  // Any other number of the range for fiction, in any way of writing it.
  expect(told).not.toMatch(/7700[ -]?900\d{3}/);
});

test('one message is followed from the webhook that caused it to its receipt', async () => {
  const raising = logged().find((step) => step['msg'] === 'turn' && Array.isArray(step['raised']));
  const trace = String(raising?.['trace']);
  const follow = (id: string) =>
    execFileSync(process.execPath, ['dist/cli/eightfeeds.js', 'trace', id], {
      input: line.output(),
      encoding: 'utf8',
    });
  const story = follow(trace);
  const told = story
    .trim()
    .split('\n')
    .map((each) => each.split(/ +/)[1]);
  expect(told.slice(0, 3)).toEqual(['turn', 'webhook', 'send']);
  expect(story).toMatch(/webhook .*kind=text .*outcome=answered/);
  expect(story).toMatch(/send .*purpose=alert .*outcome=sent/);
  expect(story).toMatch(/webhook .*kind=receipt .*state=delivered/);
  // The same story by the carrier's id of what was sent.
  const carrierId = /carrierId=(\S+)/.exec(story)?.[1] ?? '';
  expect(follow(carrierId)).toBe(story);
  expect(() => follow('SM00')).toThrow(/Nothing about it/);
});

test('the port that the carrier reaches has no metrics', async () => {
  expect((await fetch(`${line.url}/metrics`)).status).toBe(404);
});

test('it is ready until it is told to stop, finishes what it owes, and ends with 0', async () => {
  expect((await fetch(`${line.url}/readyz`)).status).toBe(200);
  const answers = Array.from({ length: 20 }, (_, i) =>
    text(`+4477009004${String(i).padStart(2, '0')}`, 'hello'),
  );
  await Promise.race(answers);
  line.signal('SIGTERM');
  const statuses = (await Promise.allSettled(answers)).map((a) =>
    a.status === 'fulfilled' ? a.value.status : 'not let in',
  );
  // A connection that the system had not handed over yet is turned away with the door; one that was in is answered.
  expect(statuses.filter((s) => s !== 204 && s !== 'not let in')).toEqual([]);
  expect(await line.exited).toBe(0);
  await expect(fetch(`${line.url}/healthz`)).rejects.toThrow();
});
