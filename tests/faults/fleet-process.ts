import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const main = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

/** One real server process, started again on the same port after each end. */
export interface FleetProcess {
  readonly role: 'web' | 'worker';
  readonly url: string;
  /** How often it was killed. */
  readonly kills: number;
  /** SIGKILL, then started again; resolves when it listens. */
  killAndStart(): Promise<void>;
  /** Holds it still as it stands, and lets it go on. */
  pause(): void;
  goOn(): void;
  complaints(): string;
  end(): Promise<void>;
}

/** @param env its settings but for port and role; resolves when it listens */
export async function fleetProcess(
  role: 'web' | 'worker',
  port: number,
  env: Readonly<Record<string, string>>,
): Promise<FleetProcess> {
  const { PATH = '' } = process.env;
  let child: ChildProcess | undefined;
  let gone: Promise<void> = Promise.resolve();
  let isOver = false;
  let kills = 0;
  let complaints = '';
  const start = async (): Promise<void> => {
    while (!isOver) {
      const started = spawn(process.execPath, [main], {
        env: { PATH, ...env, PORT: String(port), ROLE: role },
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      child = started;
      gone = new Promise((resolve) => started.once('exit', () => resolve()));
      started.stderr.on('data', (chunk: Buffer) => {
        complaints = `${complaints}${chunk.toString()}`.slice(-20_000);
      });
      const listens = await Promise.race([
        new Promise<boolean>((resolve) => {
          started.stdout.on('data', (chunk: Buffer) => {
            if (chunk.toString().includes('Eightfeeds is at')) resolve(true);
          });
        }),
        gone.then(() => false),
      ]);
      // It may be started while the store is cut off: then it ends with a word, and whoever watches over it starts it again.
      if (listens) return;
      await new Promise((resolve) => setTimeout(resolve, 300));
    }
  };
  await start();
  return {
    role,
    url: `http://127.0.0.1:${port}`,
    get kills() {
      return kills;
    },
    killAndStart: async () => {
      kills += 1;
      child?.kill('SIGKILL');
      await gone;
      await start();
    },
    pause: () => void child?.kill('SIGSTOP'),
    goOn: () => void child?.kill('SIGCONT'),
    complaints: () => complaints,
    end: async () => {
      isOver = true;
      child?.kill('SIGKILL');
      await gone;
    },
  };
}
