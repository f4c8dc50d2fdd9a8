import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The real server, started as a newcomer would start it: nothing set but a free port, an empty data folder, and where it is noon. */
export interface StartedLine {
  readonly url: string;
  /** All it wrote so far: for the message of a test that fails. */
  output(): string;
  stop(): Promise<void>;
}

const root = fileURLToPath(new URL('../../', import.meta.url));

/** Builds when needed and starts; rejects with what was written when the process ends before it tells its address. */
export async function startLine(): Promise<StartedLine> {
  const dataDir = mkdtempSync(join(tmpdir(), 'eightfeeds-browser-'));
  const { PATH = '', HOME = '' } = process.env;
  const server = spawn(process.execPath, ['tools/ready.mjs', 'start'], {
    cwd: root,
    env: { PATH, HOME, PORT: '0', DATA_DIR: dataDir, TIME_ZONE: zoneAtNoon(new Date()) },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const ended = new Promise<void>((resolve) => server.once('exit', () => resolve()));
  let written = '';
  const url = await new Promise<string>((resolve, reject) => {
    const hear = (chunk: Buffer) => {
      written += chunk.toString();
      const address = /http:\/\/\S+/.exec(written)?.[0];
      if (address !== undefined) resolve(address);
    };
    server.stdout.on('data', hear);
    server.stderr.on('data', hear);
    void ended.then(() => reject(new Error(`The line did not start:\n${written}`)));
  });
  return {
    url,
    output: () => written,
    async stop() {
      server.kill('SIGTERM');
      await ended;
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
}

/** A zone in which it is noon: whenever the tests run, the next morning is of the next day. Its name counts hours westwards. */
function zoneAtNoon(now: Date): string {
  const west = now.getUTCHours() - 12;
  return `Etc/GMT${west < 0 ? '' : '+'}${west}`;
}
