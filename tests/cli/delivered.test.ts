import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { command } from '../../src/cli/delivered.ts';
import { openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import { change, line } from '../contract/sample-changes.ts';
import { runCommand } from './run-command.ts';

const keys = `test:${Buffer.alloc(32, 6).toString('base64')}`;
let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'eightfeeds-delivered-'));
});
afterEach(() => rmSync(dir, { recursive: true, force: true }));

/** Lines whose states count what was delivered, in a store on disk. */
async function keep(...deliveries: readonly object[]): Promise<void> {
  const store = openSqliteStore({
    file: join(dir, 'eightfeeds.db'),
    sealer: openSealer(readSealingKeys(keys)),
  });
  for (const [n, delivery] of deliveries.entries())
    await store.commit(change(line(n + 1), 0, { state: JSON.stringify({ schema: 1, delivery }) }));
  await store.commit(change(line(90), 0, { state: '{"kind":"counsellor","schema":1}' }));
  await store.close();
}
const run = (...args: readonly string[]) => runCommand(command, args, { DATA_DIR: dir, SEALING_KEYS: keys });

describe('eightfeeds delivered', () => {
  it('sums what all lines counted, by receiver, language and hour', async () => {
    await keep(
      { '2026-11 m hi 08': { written: 3, delivered: 2, lost: 1, notSent: 0 } },
      {
        '2026-11 m hi 08': { written: 5, delivered: 4, lost: 0, notSent: 1 },
        '2026-11 c en 19': { written: 2, delivered: 1, lost: 0, notSent: 0 },
      },
    );
    const { code, out } = await run();
    expect(code).toBe(0);
    expect(out.split('\n').slice(1, -1)).toEqual([
      'mother\thi\t08:00\t8\t6\t1\t1\t0\t85.7',
      'mother\thi\tall\t8\t6\t1\t1\t0\t85.7',
      'counsellor\ten\t19:00\t2\t1\t0\t0\t1\t50.0',
      'counsellor\ten\tall\t2\t1\t0\t0\t1\t50.0',
    ]);
  });

  it('tells of one month alone, and says when there is nothing', async () => {
    await keep({
      '2026-10 m en 09': { written: 1, delivered: 1, lost: 0, notSent: 0 },
      '2026-11 m en 09': { written: 4, delivered: 1, lost: 0, notSent: 0 },
    });
    expect((await run('--month', '2026-10')).out).toContain('100.0');
    const none = await run('--month', '2026-09');
    expect([none.code, none.out]).toEqual([0, '']);
    expect(none.err).toContain('Nothing was written');
  });

  it.each([[['--month', '2026-13']], [['--month']], [['--week']]])(
    'is used wrongly with %j',
    async (args) => {
      await keep();
      expect((await run(...args)).code).toBe(2);
    },
  );
});
