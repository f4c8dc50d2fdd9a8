import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import { afterEach, beforeEach, expect, test } from 'vitest';

const echo = `
let given = '';
for await (const chunk of process.stdin) given += String(chunk);
process.stdout.write(JSON.stringify([process.argv.slice(2), given]) + '\\n');
process.exitCode = 3;
`;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'eightfeeds-ready-'));
  for (const name of ['tools', 'tsconfig.json', 'tsconfig.build.json', 'package.json', 'package-lock.json']) {
    cpSync(name, join(folder, name), { recursive: true });
  }
  symlinkSync(join(process.cwd(), 'node_modules'), join(folder, 'node_modules'));
  mkdirSync(join(folder, 'src', 'cli'), { recursive: true });
  writeFileSync(join(folder, 'src', 'cli', 'eightfeeds.ts'), echo);
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

async function ready(args: readonly string[], input = '') {
  const child = spawn(process.execPath, ['tools/ready.mjs', ...args], { cwd: folder });
  const ended = once(child, 'close');
  child.stdin.end(input);
  const [stdout, stderr] = await Promise.all([text(child.stdout), text(child.stderr)]);
  const [code] = (await ended) as [number | null];
  return { code, stdout, stderr };
}

test('builds once for several at a time, and gives each only its own results', async () => {
  const runs = await Promise.all(['a', 'b', 'c'].map((name) => ready(['eightfeeds', name], `in ${name}`)));
  expect(runs.map(({ code, stdout }) => ({ code, stdout }))).toEqual(
    ['a', 'b', 'c'].map((name) => ({ code: 3, stdout: `[["${name}"],"in ${name}"]\n` })),
  );
  expect(runs.map(({ stderr }) => stderr).join('')).toBe('eightfeeds: building\n');
});

test('takes deleted files out of the build, and carries files that are not code into it', async () => {
  writeFileSync(join(folder, 'src', 'old.ts'), 'export const old = 1;\n');
  writeFileSync(join(folder, 'src', 'page.html'), '<p>a page</p>\n');
  await ready(['build']);
  expect(existsSync(join(folder, 'dist', 'old.js'))).toBe(true);
  expect(existsSync(join(folder, 'dist', 'page.html'))).toBe(true);
  rmSync(join(folder, 'src', 'old.ts'));
  await ready(['build']);
  expect(existsSync(join(folder, 'dist', 'old.js'))).toBe(false);
});

test('says why it cannot build, writes no result, and leaves the last good build alone', async () => {
  await ready(['build']);
  writeFileSync(join(folder, 'src', 'wrong.ts'), "export const wrong: number = 'a';\n");
  const { code, stdout, stderr } = await ready(['eightfeeds', 'a']);
  expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
  expect(stderr).toContain('src/wrong.ts(1,14): error TS2322');
  expect(existsSync(join(folder, 'dist', 'cli', 'eightfeeds.js'))).toBe(true);
  rmSync(join(folder, 'src', 'wrong.ts'));
  expect(await ready(['eightfeeds', 'a'])).toEqual({ code: 3, stdout: '[["a"],""]\n', stderr: '' });
});

test('takes over from a process that died while it was preparing', async () => {
  // The id of a process that has ended: started here, and waited for.
  const gone = spawn(process.execPath, ['--version'], { stdio: 'ignore' });
  await once(gone, 'close');
  writeFileSync(join(folder, '.preparing.lock'), `${gone.pid} 0\n`);
  expect(await ready(['eightfeeds', 'a'])).toMatchObject({ code: 3, stdout: '[["a"],""]\n' });
  expect(existsSync(join(folder, '.preparing.lock'))).toBe(false);
});
