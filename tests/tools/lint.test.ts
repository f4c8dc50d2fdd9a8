import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

/** Each planted line, the file it stands in, and the rule that must name it; undefined where it is allowed. */
const cases: readonly (readonly [file: string, line: string, rule: string | undefined])[] = [
  ['src/care/a.ts', 'export const a = () => Date.now();', 'no-restricted-properties'],
  ['src/care/b.ts', 'export const b = () => new Date();', 'no-restricted-syntax'],
  ['src/care/c.ts', 'export const c = (at: number) => new Date(at).toISOString();', undefined],
  ['src/dialog/d.ts', 'export const d = () => Math.random();', 'no-restricted-properties'],
  ['src/dialog/e.ts', 'let n = 1;\nexport const e = () => n++;', 'no-restricted-syntax'],
  ['src/dialog/f.ts', "export { randomUUID } from 'node:crypto';", 'no-restricted-imports'],
  ['src/dialog/g.ts', 'export const g = () => setTimeout(() => 1, 1);', 'no-restricted-globals'],
  ['src/language/h.ts', 'export const h = process.env;', 'no-restricted-properties'],
  ['src/language/i.ts', 'export const { now } = Date;', 'no-restricted-properties'],
  ['src/counsel/j.ts', 'export const j = () => Date.now();', 'no-restricted-properties'],
  ['src/web/k.ts', 'export const k = () => Date.now();', undefined],
  ['src/web/l.ts', 'export const l = process.env.PORT;', 'no-restricted-properties'],
  ['src/config.ts', 'export const m = process.env.PORT;', undefined],
  ['src/web/n.ts', 'console.log(1);', 'no-console'],
  ['src/cli/o.ts', 'console.log(1);', undefined],
  ['src/web/p.ts', 'Promise.resolve(1);', '@typescript-eslint/no-floating-promises'],
  [
    'src/web/q.ts',
    'export const q = [1].filter(async () => false);',
    '@typescript-eslint/no-misused-promises',
  ],
  ['src/web/r.ts', 'export const r = (x: any) => x;', '@typescript-eslint/no-explicit-any'],
  [
    'src/web/s.ts',
    "export const s = (x: 'a' | 'b') => { switch (x) { case 'a': return 1; } return 2; };",
    '@typescript-eslint/switch-exhaustiveness-check',
  ],
  [
    'src/web/t.ts',
    "import { Readable } from 'node:stream';\nexport type T = Readable;",
    '@typescript-eslint/consistent-type-imports',
  ],
  ['src/web/u.ts', 'export default 1;', 'no-restricted-syntax'],
  ['tests/v.test.ts', 'Promise.resolve(1);', '@typescript-eslint/no-floating-promises'],
];

interface Linted {
  readonly filePath: string;
  readonly messages: readonly { readonly ruleId: string | null; readonly message: string }[];
}

let folder: string;
const found = new Map<string, readonly (string | null)[]>();

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'eightfeeds-lint-'));
  for (const name of ['eslint.config.mjs', 'tsconfig.json', 'package.json']) cpSync(name, join(folder, name));
  symlinkSync(join(process.cwd(), 'node_modules'), join(folder, 'node_modules'));
  for (const [file, line] of cases) {
    mkdirSync(dirname(join(folder, file)), { recursive: true });
    writeFileSync(join(folder, file), `${line}\n`);
  }
  const eslint = join('node_modules', 'eslint', 'bin', 'eslint.js');
  const run = spawnSync(process.execPath, [eslint, '--format', 'json', 'src', 'tests'], {
    cwd: folder,
    encoding: 'utf8',
  });
  for (const { filePath, messages } of JSON.parse(run.stdout) as readonly Linted[]) {
    found.set(
      filePath.slice(folder.length + 1),
      messages.map((message) => message.ruleId),
    );
  }
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('lint', () => {
  test.each(cases)('in %s, on `%s`, says %s', (file, _line, rule) => {
    expect(found.get(file)).toEqual(rule === undefined ? [] : [rule]);
  });
});
