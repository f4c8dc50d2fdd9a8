import { execFileSync } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { command as backup } from '../../src/cli/backup.ts';
import { command as restore } from '../../src/cli/restore.ts';
import { StoreUnavailable } from '../../src/errors.ts';
import { openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { LineCommit, Store } from '../../src/store/store.ts';
import { change, line, message, t0 } from '../contract/sample-changes.ts';
import { runCommand } from './run-command.ts';

const keys = `k1:${Buffer.alloc(32, 3).toString('base64')}`;
let folder: string;
let env: Readonly<Record<string, string>>;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'eightfeeds-backup-'));
  env = { DATA_DIR: join(folder, 'data'), SEALING_KEYS: keys };
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function storeIn(dataDir: string, sealingKeys = keys) {
  mkdirSync(dataDir, { recursive: true });
  return openSqliteStore({
    file: join(dataDir, 'eightfeeds.db'),
    sealer: openSealer(readSealingKeys(sealingKeys)),
  });
}
const file = () => join(folder, 'copy.db');

const lines = 40;

/** One commit of the load: the `n`th, to the lines in turn, with a message and a journal entry. */
function commitOf(n: number): LineCommit {
  const version = Math.floor(n / lines);
  const lineId = line(n % lines);
  const outbox = [message(lineId, `${lineId}.${version}`)];
  return change(lineId, version, { outbox, journal: [{ at: t0, kind: 'said', body: '"x"' }] });
}

/** Commits one after the other without a pause until told to stop, beginning with the `from`th. */
function writeLoad(store: Store, from: number) {
  let isOn = true;
  let kept = from;
  const done = (async () => {
    while (isOn) {
      await store.commit(commitOf(kept));
      kept++;
    }
  })();
  return {
    kept: () => kept,
    stop: async () => {
      isOn = false;
      await done;
    },
  };
}

describe('eightfeeds backup', () => {
  test('under write load it is the store at one moment: nothing kept before is missing, nothing is half there', async () => {
    const store = storeIn(env['DATA_DIR'] ?? '');
    const first = 60 * lines;
    for (let n = 0; n < first; n += lines)
      await Promise.all(Array.from({ length: lines }, (_, i) => store.commit(commitOf(n + i))));
    const load = writeLoad(store, first);
    const before = load.kept();
    const ran = await runCommand(backup, [file()], env);
    const after = load.kept();
    await load.stop();
    await store.close();
    expect(ran).toMatchObject({ code: 0 });
    expect(ran.out).toContain(`${lines} lines`);
    // The load went on all the while.
    expect(after).toBeGreaterThan(before);

    const copy = openSqliteStore({ file: file(), sealer: openSealer(readSealingKeys(keys)) });
    const versions: number[] = [];
    for (let n = 0; n < lines; n++) {
      const version = (await copy.load(line(n)))?.version ?? 0;
      versions.push(version);
      // A commit's parts are there together or not at all.
      expect(await copy.journal(line(n), 10_000)).toHaveLength(version);
      expect(await copy.message(`${line(n)}.${version - 1}`)).toMatchObject({ state: 'waiting' });
      expect(await copy.message(`${line(n)}.${version}`)).toBeUndefined();
    }
    await copy.close();
    // Commits came one after the other through all lines: one moment is a number of commits, and no mixture of two.
    const commits = versions.reduce((sum, version) => sum + version, 0);
    expect(versions).toEqual(versions.map((_, n) => Math.floor((commits - n - 1) / lines) + 1));
    expect(commits).toBeGreaterThanOrEqual(before);
    expect(commits).toBeLessThanOrEqual(after);
  });

  test('the copy is one file for its owner alone, with a sum that sha256sum takes', async () => {
    const store = storeIn(env['DATA_DIR'] ?? '');
    await store.commit(change(line(1), 0));
    expect(await runCommand(backup, [file()], env)).toMatchObject({ code: 0 });
    await store.close();
    expect(readdirSync(folder).toSorted()).toEqual(['copy.db', 'copy.db.sha256', 'data']);
    expect(statSync(file()).mode & 0o777).toBe(0o600);
    execFileSync('sha256sum', ['--check', 'copy.db.sha256'], { cwd: folder });
  });

  test('it overwrites nothing, and makes no store where there is none', async () => {
    const store = storeIn(env['DATA_DIR'] ?? '');
    await store.commit(change(line(1), 0));
    writeFileSync(file(), 'something dear');
    expect(await runCommand(backup, [file()], env)).toMatchObject({ code: 1 });
    expect(readFileSync(file(), 'utf8')).toBe('something dear');
    await store.close();
    const nowhere = { ...env, DATA_DIR: join(folder, 'nowhere') };
    await expect(runCommand(backup, [join(folder, 'other.db')], nowhere)).rejects.toThrow(/no store in/);
    expect(existsSync(join(folder, 'nowhere'))).toBe(false);
    expect((await runCommand(backup, [], env)).code).toBe(2);
  });

  test('a copy that the keys do not open is no backup', async () => {
    const store = storeIn(env['DATA_DIR'] ?? '');
    await store.commit(change(line(1), 0));
    const other = { ...env, SEALING_KEYS: `k2:${Buffer.alloc(32, 4).toString('base64')}` };
    await expect(runCommand(backup, [file()], other)).rejects.toThrow(/key "k1", which is not set/);
    await store.close();
    expect(existsSync(file())).toBe(false);
    expect(readdirSync(folder)).toEqual(['data']);
  });
});

describe('eightfeeds restore', () => {
  async function backedUp(): Promise<void> {
    const store = storeIn(env['DATA_DIR'] ?? '');
    await store.commit(change(line(1), 0, { state: '{"then":true}', outbox: [message(line(1), 'm1')] }));
    expect((await runCommand(backup, [file()], env)).code).toBe(0);
    await store.commit(change(line(1), 1, { state: '{"since":true}' }));
    await store.close();
  }
  const stateNow = async () => {
    const store = storeIn(env['DATA_DIR'] ?? '');
    const kept = await store.load(line(1));
    await store.close();
    return kept?.state;
  };

  test('puts the backup where there is no store, and the line goes on from it', async () => {
    await backedUp();
    rmSync(join(folder, 'data'), { recursive: true });
    const ran = await runCommand(restore, [file()], env);
    expect(ran.code).toBe(0);
    expect(ran.err).toContain('Messages that waited then (1) go out');
    expect(await stateNow()).toBe('{"then":true}');
  });

  test('refuses to take the place of a store, and with --replace sets it aside whole', async () => {
    await backedUp();
    expect(await runCommand(restore, [file()], env)).toMatchObject({ code: 1 });
    expect(await stateNow()).toBe('{"since":true}');
    const ran = await runCommand(restore, [file(), '--replace'], env);
    expect(ran.code).toBe(0);
    expect(await stateNow()).toBe('{"then":true}');
    const aside = /is now (\S+)/.exec(ran.err)?.[1] ?? '';
    const was = openSqliteStore({ file: aside, sealer: openSealer(readSealingKeys(keys)) });
    expect((await was.load(line(1)))?.state).toBe('{"since":true}');
    await was.close();
  });

  test('leaves a store alone that is in use', async () => {
    await backedUp();
    const store = storeIn(env['DATA_DIR'] ?? '');
    await expect(runCommand(restore, [file(), '--replace'], env)).rejects.toThrow(/is in use/);
    await store.commit(change(line(1), 2, { state: '{"still":true}' }));
    await store.close();
    expect(await stateNow()).toBe('{"still":true}');
  });

  test.each([
    ['cut short', () => truncateSync(file(), statSync(file()).size - 4096)],
    ['changed in one byte', () => flipByte(file())],
    ['no database', () => writeFileSync(file(), 'x'.repeat(10_000))],
    [
      'cut short and its sum lost',
      () => (rmSync(`${file()}.sha256`), truncateSync(file(), statSync(file()).size - 4096)),
    ],
  ])('refuses a backup that is %s, and touches nothing', async (_, harm) => {
    await backedUp();
    harm();
    await expect(runCommand(restore, [file(), '--replace'], env)).rejects.toBeInstanceOf(StoreUnavailable);
    expect(await stateNow()).toBe('{"since":true}');
    expect(readdirSync(join(folder, 'data'))).toEqual(['eightfeeds.db']);
  });
});

function flipByte(path: string): void {
  const bytes = readFileSync(path);
  const at = bytes.length - 100;
  bytes[at] = (bytes[at] ?? 0) ^ 1;
  writeFileSync(path, bytes);
}
