import { afterEach, describe, expect, it } from 'vitest';
import { expectTheSameOnEachStore, type JourneyStore, journeyStores } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers, type Post } from './journey-line.ts';
import { monday, theWeek } from './the-week.ts';

const open: JourneyLine[] = [];
const started = async (on: JourneyStore): Promise<JourneyLine> => {
  const line = await journeyLine(monday, on);
  open.push(line);
  return line;
};

afterEach(async () => {
  for (const line of open.splice(0)) await line.close();
});

/** The same webhook so many times at once; the carrier gets the same answer each time. */
const inBursts =
  (line: JourneyLine, copies: number): Post =>
  async (path, fields) => {
    const answers = await Promise.all(Array.from({ length: copies }, () => line.post(path, fields)));
    const bodies = await Promise.all(answers.map((a) => a.clone().text()));
    expect(new Set(bodies).size).toBe(1);
    return answers[0] ?? Response.error();
  };

const twice =
  (line: JourneyLine): Post =>
  async (path, fields) => {
    const first = await line.post(path, fields);
    const again = await line.post(path, fields);
    expect(await again.text()).toBe(await first.clone().text());
    return first;
  };

/** The journal as it must be however often the carrier repeats itself: facts and words; receipts in whatever order. */
async function facts(line: JourneyLine): Promise<readonly string[]> {
  const journal = (await line.journal(numbers.mother)).map(
    ({ kind, body }) => `${kind} ${JSON.stringify(body)}`,
  );
  const isReceipt = (fact: string) => fact.startsWith('receipt ');
  return [...journal.filter((f) => !isReceipt(f)), ...journal.filter(isReceipt).sort()];
}

async function once(on: JourneyStore): Promise<{ facts: readonly string[]; sent: readonly string[] }> {
  const line = await started(on);
  await theWeek(line, line.post);
  expect(line.troubles).toEqual([]);
  return { facts: await facts(line), sent: line.sent.map((s) => `${s.kind} ${s.id}`) };
}

describe.each(journeyStores)('a week of one mother, over signed webhooks, on %s', (on) => {
  it('answers each text and key as it should, and keeps all of it', async () => {
    const { facts: kept } = await once(on);
    const kinds = kept.map((fact) => fact.split(' ')[0]);
    const count = (kind: string) => kinds.filter((k) => k === kind).length;
    expect(count('consent')).toBe(1);
    expect(count('enrolled')).toBe(1);
    expect(count('check-in')).toBe(7);
    expect(count('check-in-asked')).toBe(6);
    expect(count('call-rang')).toBe(2);
    expect(count('keys')).toBe(14);
    expect(count('alert-raised')).toBe(1);
    expect(count('alert-acknowledged')).toBe(1);
    expect(count('alert-resolved')).toBe(1);
    expect(count('follow-up')).toBe(1);
    expect(kinds.indexOf('consent')).toBeLessThan(kinds.indexOf('enrolled'));
    const weights = kept.filter((f) => f.includes('"grams#0"'));
    expect(weights.map((f) => /"grams#0":(\d+)/.exec(f)?.[1])).toEqual(['3000', '3120']);
  });

  it('takes every webhook twice and keeps and sends everything once', async () => {
    const expected = await once(on);
    const line = await started(on);
    await theWeek(line, twice(line));
    expect(await facts(line)).toEqual(expected.facts);
    expect(line.sent.map((s) => `${s.kind} ${s.id}`)).toEqual(expected.sent);
    expect(line.troubles).toEqual([]);
  });

  it('takes every webhook ten times at once and keeps and sends everything once', async () => {
    const expected = await once(on);
    const line = await started(on);
    await theWeek(line, inBursts(line, 10));
    expect(await facts(line)).toEqual(expected.facts);
    expect(line.sent.map((s) => `${s.kind} ${s.id}`)).toEqual(expected.sent);
    expect(new Set(line.sent.map((s) => s.id)).size).toBe(line.sent.length);
    expect(line.troubles).toEqual([]);
  });
});

expectTheSameOnEachStore();
