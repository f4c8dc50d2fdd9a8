import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface, type Interface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { LineState } from '../../src/dialog/line.ts';
import type { OutboxRecord } from '../../src/store/store.ts';

const child = fileURLToPath(new URL('alerts-child.mjs', import.meta.url));
const settings = {
  PEPPER: 'a-pepper-for-alerts-0123456789',
  SEALING_KEYS: `test:${Buffer.alloc(32, 5).toString('base64')}`,
  COUNSELLORS: 'anita:Anita:+447700900001:en,priya:Priya:+447700900002:en,mary:Mary:+447700900003:en:lead',
};

/** One try of the carrier's, at a moment of the moved clock. */
export interface Try {
  readonly id: string;
  readonly to: string;
  readonly at: number;
}

/** A line in a process that dies by SIGKILL where it is told to, and starts again on the same disk and clock. */
export interface AlertsProcess {
  /** Asks the living process; undefined when it died over it. */
  ask<T>(what: string, rest?: Readonly<Record<string, unknown>>): Promise<T | undefined>;
  isDead(): boolean;
  start(): Promise<void>;
  lives(): number;
  state(phone: string): Promise<LineState | undefined>;
  journal(phone: string): Promise<readonly Entry[]>;
  message(id: string): Promise<OutboxRecord | undefined>;
  tries(): readonly Try[];
  dispose(): Promise<void>;
}

export interface Entry {
  readonly at: number;
  readonly kind: string;
  readonly body: Readonly<Record<string, unknown>>;
}

export async function alertsProcess(
  startAt: number,
  mood: 'takes' | 'refuses' | 'unreachable',
): Promise<AlertsProcess> {
  const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-alerts-process-'));
  writeFileSync(join(dir, 'clock'), String(startAt));
  let alive: { readonly process: ChildProcessWithoutNullStreams; readonly lines: Interface } | undefined;
  let gone: Promise<void> = Promise.resolve();
  let complaints = '';
  let lives = 0;

  const start = async (): Promise<void> => {
    const { PATH = '' } = process.env;
    const started = spawn(process.execPath, [child], { env: { PATH, DIR: dir, MOOD: mood, ...settings } });
    const lines = createInterface({ input: started.stdout });
    gone = new Promise((resolve) =>
      started.once('close', () => {
        alive = undefined;
        resolve();
      }),
    );
    started.stderr.on('data', (chunk: Buffer) => {
      complaints += chunk.toString();
    });
    started.stdin.on('error', () => undefined);
    alive = { process: started, lines };
    lives += 1;
    if ((await ask<number>('now')) === undefined) throw new Error(`The line did not start:\n${complaints}`);
  };

  const ask = async <T>(
    what: string,
    rest: Readonly<Record<string, unknown>> = {},
  ): Promise<T | undefined> => {
    if (alive === undefined) throw new Error(`The line is dead:\n${complaints}`);
    const { process: living, lines } = alive;
    const answered = new Promise<string>((resolve) => lines.once('line', resolve));
    living.stdin.write(`${JSON.stringify({ what, ...rest })}\n`);
    const answer = await Promise.race([answered, gone]);
    if (answer === undefined) {
      // Dead by the SIGKILL that it was told to give itself, and by nothing else.
      if (living.signalCode !== 'SIGKILL') throw new Error(`The line died over "${what}":\n${complaints}`);
      return undefined;
    }
    return (JSON.parse(answer) as { readonly answer: T }).answer;
  };

  await start();
  return {
    ask,
    start,
    isDead: () => alive === undefined,
    lives: () => lives,
    state: async (phone) => (await ask<LineState | null>('state', { phone })) ?? undefined,
    journal: async (phone) => (await ask<readonly Entry[]>('journal', { phone })) ?? [],
    message: async (id) => (await ask<OutboxRecord | null>('message', { id })) ?? undefined,
    tries: () => {
      const log = join(dir, 'carrier.log');
      if (!existsSync(log)) return [];
      const lines = readFileSync(log, 'utf8').split('\n');
      return lines.filter((line) => line !== '').map((line) => JSON.parse(line) as Try);
    },
    dispose: async () => {
      alive?.process.kill('SIGKILL');
      await gone;
      rmSync(dir, { recursive: true, force: true });
    },
  };
}
