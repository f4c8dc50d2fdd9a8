import { expect, it } from 'vitest';
import { type JourneyStore, journeyStores, noRedis } from './each-store.ts';
import { journeyLine, numbers } from './journey-line.ts';
import { differences, type Kept, type KeptLine, keptIn } from './kept.ts';
import { joinInEnglish, phoneOf } from './people.ts';
import { monday } from './the-week.ts';

/** A short journey; `last` is what she writes at its end. */
async function walked(on: JourneyStore, last: string): Promise<Kept> {
  const line = await journeyLine(monday, on);
  try {
    const mother = phoneOf(line, numbers.mother, 'mother');
    await joinInEnglish(mother);
    await mother.text('my baby has a fit');
    await line.forward(3_600_000);
    await mother.text(last);
    return await keptIn(line.store, line.sent);
  } finally {
    await line.close();
  }
}

const other: JourneyStore = journeyStores.at(-1) ?? 'sqlite';
const why = noRedis === undefined ? '' : ` (both on SQLite: ${noRedis})`;

it(`a word that differs on one store is seen, and nothing where none does${why}`, async () => {
  const one = await walked('sqlite', 'thank you');
  expect(differences(one, await walked(other, 'thank you'))).toEqual([]);
  const found = differences(one, await walked(other, 'thank you all'));
  expect(found.join('\n')).toMatch(/journal \d+: .*"thank you".* \| .*"thank you all"/);
});

it('an entry that is lost, doubled, changed, swapped or told at another time is seen, and so is a message', async () => {
  const kept = await walked(other, 'thank you');
  const [line, ...rest] = kept.lines.toSorted((a, b) => b.journal.length - a.journal.length);
  if (line === undefined) throw new Error('Nothing is kept.');
  const { journal, messages, alerts, replies } = line;
  expect(Math.min(journal.length, messages.length, alerts.length, replies.length)).toBeGreaterThan(0);
  const at = journal.findIndex((entry) => entry.includes(' text-in '));
  const planted: readonly Partial<KeptLine>[] = [
    { journal: journal.toSpliced(at, 1) },
    { journal: journal.toSpliced(at, 0, journal[at] ?? '') },
    { journal: journal.with(at, `${journal[at]} `) },
    { journal: journal.toSpliced(at, 2, journal[at + 1] ?? '', journal[at] ?? '') },
    {
      journal: journal.with(
        at,
        (journal[at] ?? '').replace(/^(\d+ \d+)\d/, (_, most: string) => `${most}x`),
      ),
    },
    { messages: messages.slice(1) },
    { alerts: [] },
    { replies: replies.with(0, 'other words') },
    { version: line.version + 1 },
    { nextDueAt: null },
  ];
  for (const change of planted) {
    const found = differences(kept, { ...kept, lines: [{ ...line, ...change }, ...rest] });
    expect(found, JSON.stringify(Object.keys(change))).not.toEqual([]);
  }
  expect(differences(kept, { ...kept, sent: kept.sent.slice(1) })).not.toEqual([]);
  expect(differences(kept, { ...kept, lines: rest })).not.toEqual([]);
  expect(differences(kept, kept)).toEqual([]);
});
