import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { freePort } from '../stand-in/free-port.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const dataDir = mkdtempSync(join(tmpdir(), 'eightfeeds-stand-in-'));
const { PATH = '', HOME = '' } = process.env;
const running: ChildProcess[] = [];
const ended: Promise<unknown>[] = [];

interface Running {
  written(): string;
  type(line: string): void;
  /** Resolves when what it wrote fits. */
  says(words: RegExp): Promise<string>;
}

function start(args: readonly string[], env: Readonly<Record<string, string>> = {}): Running {
  const child = spawn(process.execPath, ['tools/ready.mjs', ...args], {
    cwd: root,
    env: { PATH, HOME, ...env },
    stdio: 'pipe',
  });
  running.push(child);
  ended.push(new Promise((resolve) => child.once('exit', resolve)));
  let written = '';
  const hearing = new Set<() => void>();
  const hear = (chunk: Buffer) => {
    written += chunk.toString();
    for (const look of hearing) look();
  };
  child.stdout.on('data', hear);
  child.stderr.on('data', hear);
  return {
    written: () => written,
    type: (line) => child.stdin.write(`${line}\n`),
    says: (words) =>
      new Promise((resolve, reject) => {
        const look = () => {
          if (!words.test(written)) return;
          hearing.delete(look);
          resolve(written);
        };
        hearing.add(look);
        child.once('exit', () => reject(new Error(`It ended before it said ${words}:\n${written}`)));
        look();
      }),
  };
}

let standIn: Running;
let settings: Readonly<Record<string, string>>;

beforeAll(async () => {
  const [port, linePort] = [await freePort(), await freePort()];
  standIn = start(['stand-in', '--port', String(port), '--line', `http://127.0.0.1:${linePort}`]);
  const told = await standIn.says(/npm start/);
  // What it prints is what the newcomer pastes.
  settings = {
    ...Object.fromEntries([...told.matchAll(/([A-Z_]+)=(\S+)/g)].map((m) => [m[1], m[2]])),
    DATA_DIR: dataDir,
  };
  await start(['start'], settings).says(/Eightfeeds is at/);
}, 120_000);

afterAll(async () => {
  for (const child of running) child.kill('SIGTERM');
  await Promise.all(ended);
  rmSync(dataDir, { recursive: true, force: true });
});

test('the line runs as with an account: a typed text is answered, an alert reaches the counsellor', async () => {
  standIn.type('+447700900101 join');
  expect(await standIn.says(/200 to \+447700900101: .+/)).toMatch(/English/);
  standIn.type('+447700900101 my baby is not breathing well and is blue');
  await standIn.says(/ {2}to \+447700900011: /);
  expect(standIn.written()).toMatch(/200 to \+447700900101: [\s\S]*(nearest|112)/);
});

test('the doctor finds nothing at the account, and says that a stand-in is asked', async () => {
  const doctor = start(['eightfeeds', 'doctor', '--ask'], settings);
  const told = await doctor.says(/Nothing stands in the way|to mend before/);
  expect(told).toMatch(/good +account/);
  expect(told).toMatch(/good +webhooks/);
  expect(told).toMatch(/mend +credentials +TWILIO_API_URL is set/);
});
