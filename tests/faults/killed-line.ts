import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { getExpectedTwilioSignature } from 'twilio/lib/webhooks/webhooks.js';
import { lineIdOf, openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { Answered, Found } from './audit.ts';
import { foundIn, wordsIn } from './found.ts';
import { freePort } from '../stand-in/free-port.ts';

const child = fileURLToPath(new URL('line-child.mjs', import.meta.url));
const lineNumber = '+447700900008';
const settings = {
  ACCOUNT: `AC${'5f'.repeat(16)}`,
  TOKEN: 'a-token-for-faults-0123456789',
  PUBLIC_URL: 'https://line.example.test',
  LINE_NUMBER: lineNumber,
  PEPPER: 'a-pepper-for-faults-0123456789',
  SEALING_KEYS: `test:${Buffer.alloc(32, 9).toString('base64')}`,
};

/** A line in a process of its own that is killed and started again on the same store. */
export interface KilledLine {
  /** Starts it; resolves when it listens. `killAt` as in the child's own words. */
  start(killAt?: string): Promise<void>;
  /** SIGKILL now. */
  kill(): Promise<void>;
  /** Resolves when the process is gone, by whatever hand. */
  gone(): Promise<void>;
  isUp(): boolean;
  /** Up and listening. */
  isReady(): boolean;
  /** The next start runs its clock so much further ahead. */
  clockForward(ms: number): void;
  /** One attempt to deliver a text; undefined when there was no 200. */
  text(phone: string, id: string, body: string): Promise<string | undefined>;
  backlog(): Promise<{ readonly waitingMessages: number; readonly dueLines: number }>;
  /** Everything that is on disk; the process must be gone. */
  found(answered: ReadonlyMap<string, readonly Answered[]>): Promise<Found>;
  /** What the process wrote to stderr, all lives together. */
  complaints(): string;
  dispose(): Promise<void>;
}

export async function killedLine(): Promise<KilledLine> {
  const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-faults-'));
  const port = await freePort();
  const base = `http://127.0.0.1:${port}`;
  let aheadMs = 0;
  let process_: ChildProcess | undefined;
  let exit: Promise<void> = Promise.resolve();
  let ready = false;
  let complaints = '';
  const { PATH = '' } = process.env;
  const line: KilledLine = {
    start: async (killAt) => {
      const started = spawn(process.execPath, [child], {
        env: {
          PATH,
          ...settings,
          DIR: dir,
          PORT: String(port),
          CLOCK_AHEAD_MS: String(aheadMs),
          ...(killAt === undefined ? {} : { KILL_AT: killAt }),
        },
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      process_ = started;
      exit = new Promise((resolve) => {
        started.once('exit', () => {
          process_ = undefined;
          ready = false;
          resolve();
        });
      });
      started.stderr.on('data', (chunk: Buffer) => {
        complaints += chunk.toString();
      });
      await Promise.race([
        new Promise<void>((resolve) =>
          started.stdout.once('data', () => {
            ready = true;
            resolve();
          }),
        ),
        exit.then(() => {
          // Killed before it could listen, by its own plan, is no fault; anything else is.
          if (killAt === undefined) throw new Error(`The line did not start:\n${complaints}`);
        }),
      ]);
    },
    kill: async () => {
      process_?.kill('SIGKILL');
      await exit;
    },
    gone: () => exit,
    isUp: () => process_ !== undefined,
    isReady: () => ready,
    clockForward: (ms) => {
      aheadMs += ms;
    },
    text: async (phone, id, body) => {
      const fields = {
        AccountSid: settings.ACCOUNT,
        MessageSid: `SM${Buffer.from(id).toString('hex').padStart(32, '0').slice(-32)}`,
        From: phone,
        To: lineNumber,
        Body: body,
      };
      try {
        const answer = await fetch(`${base}/carrier/text`, {
          method: 'POST',
          headers: {
            'content-type': 'application/x-www-form-urlencoded',
            'x-twilio-signature': getExpectedTwilioSignature(
              settings.TOKEN,
              `${settings.PUBLIC_URL}/carrier/text`,
              fields,
            ),
          },
          body: new URLSearchParams(fields).toString(),
          signal: AbortSignal.timeout(10_000),
        });
        const twiml = await answer.text();
        if (answer.status !== 200) return undefined;
        return wordsIn(twiml);
      } catch {
        // Cut off: whether it was kept is not known, so she sends the same again.
        return undefined;
      }
    },
    backlog: async () => {
      const answer = await fetch(`${base}/readyz`);
      const { parts } = (await answer.json()) as {
        parts: { waitingMessages: number; dueLines: number };
      };
      return parts;
    },
    found: async (answered) => {
      const store = openSqliteStore({
        file: join(dir, 'line.db'),
        sealer: openSealer(readSealingKeys(settings.SEALING_KEYS)),
      });
      const log = join(dir, 'carrier.log');
      const carried = existsSync(log)
        ? readFileSync(log, 'utf8')
            .split('\n')
            .filter((l) => l !== '')
            .map((l) => (JSON.parse(l) as { id: string }).id)
        : [];
      const lineOf = (phone: string) => lineIdOf(phone, settings.PEPPER);
      const found = await foundIn(store, answered, lineOf, carried, Date.now() + aheadMs);
      await store.close();
      return found;
    },
    complaints: () => complaints,
    dispose: async () => {
      await line.kill();
      rmSync(dir, { recursive: true, force: true });
    },
  };
  return line;
}
