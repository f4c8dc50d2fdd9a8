import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The real server as a process of its own, with the practice phone. */
export interface MainProcess {
  readonly url: string;
  readonly metricsUrl: string;
  readonly dataDir: string;
  /** All that it wrote so far. */
  output(): string;
  /** One press on the practice page. */
  practice(action: string, body: object): Promise<Response>;
  signal(name: NodeJS.Signals): void;
  /** The exit code; -1 for a signal. */
  readonly exited: Promise<number>;
  dispose(): Promise<void>;
}

const root = fileURLToPath(new URL('../../', import.meta.url));

/** Starts what was built; rejects with what was written when it ends before it tells its addresses. */
export async function mainProcess(settings: Readonly<Record<string, string>> = {}): Promise<MainProcess> {
  const dataDir = mkdtempSync(join(tmpdir(), 'eightfeeds-main-'));
  const { PATH = '', HOME = '' } = process.env;
  const child = spawn(process.execPath, ['dist/main.js'], {
    cwd: root,
    env: { PATH, HOME, PORT: '0', METRICS_PORT: '0', DATA_DIR: dataDir, ...settings },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const exited = new Promise<number>((resolve) => child.once('exit', (code) => resolve(code ?? -1)));
  let written = '';
  const [url = '', metricsUrl = ''] = await new Promise<readonly string[]>((resolve, reject) => {
    const hear = (chunk: Buffer) => {
      written += chunk.toString();
      const told = /Eightfeeds is at (\S+)\nMetrics are at (\S+)\n/.exec(written);
      if (told !== null) resolve(told.slice(1));
    };
    child.stdout.on('data', hear);
    child.stderr.on('data', hear);
    void exited.then(() => reject(new Error(`The line did not start:\n${written}`)));
  });
  return {
    url,
    metricsUrl,
    dataDir,
    output: () => written,
    practice: (action, body) =>
      fetch(`${url}/practice/${action}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(body),
      }),
    signal: (name) => void child.kill(name),
    exited,
    async dispose() {
      child.kill('SIGKILL');
      await exited;
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
}
