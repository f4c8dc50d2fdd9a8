import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

describe('two files of figures', () => {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-figures-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const figures = (name: string, turnsPerSecond: number, machine: string, redisMicros: number | null) => {
    const row = { store: 'SQLite', processes: 1, lines: 1000, turnsPerSecond, cpuRatio: 0.5, redisMicros };
    const file = join(folder, name);
    writeFileSync(
      file,
      JSON.stringify({ machine, rows: [row], bytesPerMother: { Redis: turnsPerSecond * 2 } }),
    );
    return file;
  };
  const compare = (before: string, after: string) =>
    spawnSync(process.execPath, ['tests/bench/bench.mjs', `--compare=${before},${after}`], {
      encoding: 'utf8',
    });

  it('are told apart by how far each figure moved', () => {
    const { stdout, status } = compare(figures('a', 1000, 'one', null), figures('b', 1250, 'one', null));
    expect(status).toBe(0);
    expect(stdout).toMatch(
      /^SQLite, 1 process, 1000 lines\n {2}turnsPerSecond +1000 -> +1250 {2}\+25\.0 %$/m,
    );
    expect(stdout).toMatch(/^ {2}cpuRatio +0\.50 -> +0\.50 {2}\+0\.0 %$/m);
    expect(stdout).toMatch(/^bytes a mother\n {2}Redis +2000 -> +2500 {2}\+25\.0 %$/m);
    expect(stdout).not.toContain('redisMicros');
    expect(stdout).not.toContain('Not the same machine');
  });

  it('of two machines are told apart with a warning', () => {
    const { stdout } = compare(figures('c', 1000, 'one', 20), figures('d', 500, 'another', 30));
    expect(stdout).toContain('Not the same machine: one; another.');
    expect(stdout).toMatch(/turnsPerSecond +1000 -> +500 {2}-50\.0 %/);
    expect(stdout).toMatch(/redisMicros +20\.0 -> +30\.0 {2}\+50\.0 %/);
  });
});
