import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, expect, test } from 'vitest';

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** A project of these files with our rules; `src/cli/a.ts` reaches every file that is to be no orphan. */
function project(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-rooms-'));
  folders.push(folder);
  for (const name of ['tools', '.dependency-cruiser.mjs', 'tsconfig.json', 'package.json']) {
    cpSync(name, join(folder, name), { recursive: true });
  }
  symlinkSync(join(process.cwd(), 'node_modules'), join(folder, 'node_modules'));
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  return folder;
}

function rooms(folder: string): { readonly code: number | null; readonly problems: readonly string[] } {
  const { status, stderr } = spawnSync(process.execPath, ['tools/rooms.mjs'], {
    cwd: folder,
    encoding: 'utf8',
  });
  return { code: status, problems: stderr.split('\n').filter((line) => /^\S/.test(line)) };
}

const good = {
  'src/care/growth.ts': 'export const growth = 1;\n',
  'src/dialog/turn.ts':
    "import { growth } from '../care/growth.ts';\nimport type { Store } from '../store/store.ts';\nexport const turn = (s: Store) => growth + s.n;\n",
  'src/store/store.ts': 'export interface Store { readonly n: number }\n',
  'src/store/sqlite/sqlite-store.ts':
    "import type { Store } from '../store.ts';\nimport Database from 'better-sqlite3';\nexport const open = (): Store => ({ n: new Database(':memory:').name.length });\n",
  'src/outreach/worker.ts':
    "import type { Store } from '../store/store.ts';\nexport const work = (s: Store) => s.n;\n",
  'src/web/app.ts':
    "import express from 'express';\nimport { turn } from '../dialog/turn.ts';\nexport const app = [express, turn];\n",
  'src/main.ts':
    "import { app } from './web/app.ts';\nimport { open } from './store/sqlite/sqlite-store.ts';\nimport { work } from './outreach/worker.ts';\nexport const parts = [app, open, work];\n",
};

test('passes rooms that import inward only', () => {
  expect(rooms(project(good))).toEqual({ code: 0, problems: [] });
});

test('names every planted breach, and nothing else', () => {
  const { code, problems } = rooms(
    project({
      ...good,
      'src/care/diary.ts': "import { readFileSync } from 'node:fs';\nexport const diary = readFileSync;\n",
      'src/language/log.ts': "import pino from 'pino';\nexport const log = pino();\n",
      'src/counsel/call.ts': "import twilio from 'twilio';\nexport const call = twilio;\n",
      'src/dialog/kept.ts': "import { sealed } from '../store/sealing.ts';\nexport const kept = sealed;\n",
      'src/store/sealing.ts': 'export const sealed = 1;\n',
      'src/dialog/sent.ts': "import { tries } from '../channels/carrier.ts';\nexport const sent = tries;\n",
      'src/channels/carrier.ts': 'export const tries = 1;\n',
      'src/channels/practice/post.ts':
        "import { sign } from '../twilio/signature.ts';\nimport { sealed } from '../../store/sealing.ts';\nexport const post = [sign, sealed];\n",
      'src/channels/twilio/signature.ts': 'export const sign = 1;\n',
      'src/outreach/direct.ts':
        "import { open } from '../store/sqlite/sqlite-store.ts';\nexport const direct = open;\n",
      'src/programme/report.ts': "import { app } from '../web/app.ts';\nexport const report = app;\n",
      'src/care/left.ts': "import { right } from './right.ts';\nexport const left = () => right;\n",
      'src/care/right.ts': "import { left } from './left.ts';\nexport const right = () => left;\n",
      'src/language/alone.ts': 'export const alone = 1;\n',
      'src/web/probe.ts': "import fc from 'fast-check';\nexport const probe = fc;\n",
      'src/care/lost.ts': "import { gone } from './gone.ts';\nexport const lost = gone;\n",
    }),
  );
  expect(code).toBe(1);
  expect([...problems].sort()).toEqual([
    'deciding-rooms-know-ports-only: src/dialog/kept.ts -> src/store/sealing.ts',
    'deciding-rooms-know-ports-only: src/outreach/direct.ts -> src/store/sqlite/sqlite-store.ts',
    'no-cycles: src/care/left.ts -> src/care/right.ts -> src/care/left.ts',
    expect.stringMatching(/^no-development-packages: src\/web\/probe\.ts -> .*fast-check/),
    'no-orphans: src/language/alone.ts',
    'nothing-imports-the-outside: src/programme/report.ts -> src/web/app.ts',
    'only-main-chooses-the-parts: src/outreach/direct.ts -> src/store/sqlite/sqlite-store.ts',
    'ports-are-shapes-to-pure-rooms: src/dialog/sent.ts -> src/channels/carrier.ts',
    'practice-knows-no-store: src/channels/practice/post.ts -> src/store/sealing.ts',
    'pure-rooms-do-no-io: src/care/diary.ts -> fs',
    expect.stringMatching(/^pure-rooms-do-no-io: src\/counsel\/call\.ts -> .*twilio/),
    expect.stringMatching(/^pure-rooms-do-no-io: src\/language\/log\.ts -> .*pino/),
    'src/care/lost.ts imports ./gone.ts, which is not there',
  ]);
});

test('fails when it looked at fewer modules than there are', () => {
  const folder = project(good);
  const rules = join(folder, '.dependency-cruiser.mjs');
  writeFileSync(
    rules,
    readFileSync(rules, 'utf8').replace('options: {', "options: {\n    exclude: '^src/care/',"),
  );
  expect(rooms(folder)).toEqual({ code: 1, problems: ['not looked at: src/care/growth.ts'] });
});
