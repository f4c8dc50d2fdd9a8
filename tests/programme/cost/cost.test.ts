import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { text as all } from 'node:stream/consumers';
import { afterAll, describe, expect, test } from 'vitest';
import { practiceKeys } from '../../../src/channels/practice/practice-keys.ts';
import { command } from '../../../src/cli/cost.ts';
import type { LineId } from '../../../src/dialog/line.ts';
import { costOf, loadPrices } from '../../../src/programme/cost/prices.ts';
import { type Entry, noUsage, plus, usageOf } from '../../../src/programme/cost/usage.ts';
import { mondayOf } from '../../../src/programme/cost/weekly.ts';
import { openSealer, readSealingKeys } from '../../../src/store/sealing.ts';
import { openSqliteStore } from '../../../src/store/sqlite/sqlite-store.ts';

const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-cost-'));
afterAll(() => rmSync(dir, { recursive: true, force: true }));

async function run(args: readonly string[], env: Readonly<Record<string, string>> = {}) {
  const [output, errors] = [new PassThrough(), new PassThrough()];
  const [out, err] = [all(output), all(errors)];
  const code = await command.run(args, { input: Readable.from([]), output, errors, env });
  output.end();
  errors.end();
  return { code, out: await out, err: await err };
}
const entry = (kind: string, body: unknown, at = 0): Entry => ({ at, kind, body });
const total = (entries: readonly Entry[]) => usageOf(entries).reduce((sum, u) => plus(sum, u.used), noUsage);

describe('what a journal cost', () => {
  /** Segments: 3GPP TS 23.038, 160 septets alone and 153 in a part; 70 and 67 two-byte letters. */
  test.each([
    ['a'.repeat(160), 1],
    ['a'.repeat(161), 2],
    ['a'.repeat(307), 3],
    ['क'.repeat(70), 1],
    ['क'.repeat(71), 2],
    ['क'.repeat(135), 3],
  ])('counts %#: a text of letters in its segments, out and in', (words, segments) => {
    expect(total([entry('said', { words })])).toMatchObject({ textsOut: 1, segmentsOut: segments });
    expect(total([entry('text-in', { body: words })])).toMatchObject({ textsIn: 1, segmentsIn: segments });
  });

  test('counts a begun minute whole, and a call without an end until its last key', () => {
    const call = (...entries: readonly Entry[]) => {
      const { calls, callMinutes } = total(entries);
      return [calls, callMinutes];
    };
    const answered = entry('call-answered', { callId: 'CA1' }, 1_000);
    expect(call(answered, entry('call-ended', { status: 'completed' }, 1_500))).toEqual([1, 1]);
    expect(call(answered, entry('call-ended', { status: 'completed' }, 61_000))).toEqual([1, 1]);
    expect(call(answered, entry('call-ended', { status: 'completed' }, 61_001))).toEqual([1, 2]);
    expect(call(answered, entry('keys', { digits: '9' }, 130_000))).toEqual([1, 3]);
  });

  test('words spoken on a call are no text', () => {
    const used = total([
      entry('call-answered', { callId: 'CA1' }),
      entry('said', { words: 'How many feeds?' }),
      entry('keys', { digits: '9' }),
      entry('said', { words: 'Thank you.' }),
      entry('call-ended', { status: 'completed' }, 5_000),
      entry('text-in', { body: 'hello' }, 6_000),
      entry('said', { words: 'Hello.' }, 6_000),
    ]);
    expect(used).toMatchObject({ textsOut: 1, textsIn: 1, calls: 1 });
  });

  test('a message that was refused costs nothing; one to a counsellor counts apart', () => {
    const sending = (id: string, to: string, channel = 'text') =>
      entry('sending', { id, to, channel, purpose: 'alert', words: 'Call her.' });
    const used = total([
      sending('1', 'line'),
      sending('2', 'line'),
      sending('3', 'anita'),
      sending('4', 'anita by call', 'call'),
      entry('receipt', { message: '2', status: 'failed' }),
      entry('receipt', { message: '1', status: 'delivered' }),
    ]);
    expect(used).toEqual({
      ...noUsage,
      textsOut: 1,
      segmentsOut: 1,
      counsellorSegments: 1,
      counsellorCalls: 1,
    });
  });
});

test('a price file is read whole or refused with every problem', () => {
  const prices = loadPrices('prices.example.yaml');
  const used = { ...noUsage, segmentsOut: 10, callMinutes: 2, counsellorSegments: 5, counsellorCalls: 1 };
  expect(costOf(used, prices)).toBeCloseTo(
    10 * prices.textOutSegment + 2 * prices.callMinute + 5 * 0.2 + prices.counsellorCall,
  );
  const bad = join(dir, 'bad.yaml');
  writeFileSync(bad, 'currency: Rs\ntextOutSegment: -1\ncallMinutes: 1\n');
  expect(() => loadPrices(bad)).toThrow(/textOutSegment[\s\S]*callMinute/);
  expect(() => loadPrices(join(dir, 'none.yaml'))).toThrow(/cannot be read/);
});

/** ISO 8601: weeks begin on Monday. 2 March 2026 was a Monday. */
test.each([
  ['2026-03-02', '2026-03-02'],
  ['2026-03-08', '2026-03-02'],
  ['2026-01-01', '2025-12-29'],
])('the week of %s begins on %s', (day, monday) => {
  expect(mondayOf(day)).toBe(monday);
});

test('plans a week in every language before there is a mother', async () => {
  const { code, out } = await run(['--planned', '--weeks', '2', '--prices', 'prices.example.yaml']);
  expect(code).toBe(0);
  const row = (language: string, week: string) =>
    (new RegExp(`^${language} +${week} +1 +(.*)$`, 'm').exec(out)?.[1] ?? '').split(/ +/).map(Number);
  for (const language of ['en', 'hi', 'hi-Latn', 'mr']) {
    const [textsOut = 0, segmentsOut = 0, textsIn = 0] = row(language, 'week 1');
    // Check-ins are daily in the first fortnight: each takes at least one text of hers and two of ours.
    expect(textsIn).toBeGreaterThanOrEqual(7);
    expect(textsOut).toBeGreaterThanOrEqual(14);
    expect(segmentsOut).toBeGreaterThanOrEqual(textsOut);
  }
  // A Devanagari letter takes two bytes: TS 23.038. What costs one segment in Latin letters costs about two.
  expect(row('hi', 'week 1')[1]).toBeGreaterThan(1.5 * (row('hi-Latn', 'week 1')[1] ?? 0));
});

test('counts what the store kept, by language and week, within the days asked for', async () => {
  const { sealingKeys } = practiceKeys(dir);
  const store = openSqliteStore({
    file: join(dir, 'eightfeeds.db'),
    sealer: openSealer(readSealingKeys(sealingKeys)),
  });
  const at = Date.parse('2026-03-04T05:00:00Z');
  const commit = (lineId: string, language: string) =>
    store.commit({
      lineId: lineId as LineId,
      expectedVersion: 0,
      reply: '',
      state: JSON.stringify({ language }),
      nextDueAt: null,
      journal: [
        { at, kind: 'text-in', body: JSON.stringify({ body: '9 3 6 4' }) },
        { at, kind: 'said', body: JSON.stringify({ words: 'क'.repeat(80) }) },
        { at: at + 7 * 86_400_000, kind: 'text-in', body: JSON.stringify({ body: 'yes' }) },
      ],
      outbox: [],
      alerts: [],
    });
  await Promise.all([commit('line-a', 'hi'), commit('line-b', 'hi'), commit('line-c', 'en')]);
  await store.close();
  const whole = await run([], { DATA_DIR: dir });
  expect(whole.out).toMatch(/^hi +2026-03-02 +2 +2 +4 +2 +2 /m);
  expect(whole.out).toMatch(/^hi +2026-03-09 +2 +0 +0 +2 +2 /m);
  expect(whole.out).toMatch(/^en +2026-03-02 +1 +1 +2 +1 +1 /m);
  expect(whole.err).toContain('--prices');
  const part = await run(['--until', '2026-03-08'], { DATA_DIR: dir });
  expect(part.out).not.toContain('2026-03-09');
  expect((await run(['--from', '2027-01-01'], { DATA_DIR: dir })).err).toContain('Nothing was sent');
});

test('makes no store where there is none, and says how it is used', async () => {
  await expect(run([], { DATA_DIR: join(dir, 'none') })).rejects.toThrow(/no store|SEALING_KEYS/);
  expect((await run(['--weeks', 'many', '--planned'])).code).toBe(2);
  expect((await run(['--from', 'monday'])).code).toBe(2);
});
