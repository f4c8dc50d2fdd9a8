import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { moveLines } from '../../src/programme/move-lines.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Store, WholeLine } from '../../src/store/store.ts';
import { fill, madeLine } from '../cli/move-lines-made.ts';
import { change, newSealer } from '../contract/sample-changes.ts';

/** More than are under way at once, so that there is a middle. */
const lines = 300;
const now = Date.now();

let folder: string;
let from: Store;
let to: Store;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'eightfeeds-move-lines-'));
  from = openSqliteStore({ file: join(folder, 'from.db'), sealer: newSealer() });
  to = openSqliteStore({ file: join(folder, 'to.db'), sealer: newSealer() });
  await fill(from, lines, now);
});
afterEach(async () => {
  await from.close();
  await to.close();
  rmSync(folder, { recursive: true, force: true });
});

const nobody = () => undefined;

test('tells how far it is, line by line, to the end', async () => {
  const told: number[] = [];
  const moved = await moveLines(from, to, (done, all) => {
    expect(all).toBe(lines);
    told.push(done);
  });
  expect(told.length).toBeGreaterThan(1);
  expect(told).toEqual(told.toSorted((a, b) => a - b));
  expect(told.at(-1)).toBe(lines);
  expect(moved).toMatchObject({ lines, wereThere: 0 });
  expect(await moveLines(from, to, nobody)).toEqual({ ...moved, wereThere: lines });
});

test('a source that is used meanwhile is told, whichever of its lines it was', async () => {
  const [first = madeLine(0, now).lineId] = await from.lineIds(1);
  const version = (await from.load(first))?.version ?? 0;
  let used = Promise.resolve();
  const moving = moveLines(from, to, (done) => {
    if (done < lines) used = from.commit(change(first, version)).then(nobody, nobody);
  });
  await expect(moving).rejects.toThrow(new RegExp(`was used while it was moved \\(line ${first}\\)`));
  await used;
});

test('a line that comes in meanwhile is told', async () => {
  let added = Promise.resolve<unknown>(undefined);
  let n = lines;
  // Some of them come before the place where the move is, and it does not see them.
  const moving = moveLines(from, to, (done) => {
    if (done < lines)
      added = Promise.all(Array.from({ length: 20 }, () => from.writeLine(madeLine(n++, now))));
  });
  await expect(moving).rejects.toThrow(/was used while it was moved/);
  await added;
});

/** A target that keeps something else than it was given: each fault is one that a store could have. */
const faults: readonly (readonly [string, (line: WholeLine) => WholeLine])[] = [
  ['loses a journal entry', (line) => ({ ...line, journal: line.journal.slice(0, -1) })],
  ['changes a word', (line) => ({ ...line, state: line.state.replace('Name 7', 'Name 8') })],
  ['forgets when a line is due', (line) => ({ ...line, nextDueAt: null })],
  ['loses a message', (line) => ({ ...line, outbox: line.outbox.slice(1) })],
  [
    'sends again what was sent',
    (line) => ({ ...line, outbox: line.outbox.map((m) => ({ ...m, state: 'waiting', settledAt: null })) }),
  ],
  ['loses a reply', (line) => ({ ...line, replies: [] })],
  ['closes an alert', (line) => ({ ...line, alerts: line.alerts.map((a) => ({ ...a, open: false })) })],
  ['counts on', (line) => ({ ...line, version: line.version + 1 })],
];

test.each(faults)('a target that %s is found out', async (_, harm) => {
  const faulty: Store = { ...to, writeLine: (line) => to.writeLine(harm(line)) };
  await expect(moveLines(from, faulty, nobody)).rejects.toThrow(
    /is not in the target as it is in the source/,
  );
});
