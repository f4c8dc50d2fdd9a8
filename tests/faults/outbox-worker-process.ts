import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { createInterface, type Interface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const child = fileURLToPath(new URL('outbox-child.mjs', import.meta.url));

/** A worker in a process of its own, ready to begin. */
export interface WorkerProcess {
  /** Begins; gives the port on which it takes receipts, or undefined when it killed itself first. */
  begin(plan: Readonly<Record<string, unknown>>): Promise<number | undefined>;
  /** What is left to do; undefined when it died over it. */
  left(): Promise<{ readonly waiting: number; readonly untold: number } | undefined>;
  /** SIGKILL, now. */
  kill(): void;
  /** Resolves when it is gone, by whatever hand. */
  readonly gone: Promise<void>;
  /** What it wrote to stderr. */
  complaints(): string;
}

/** Starts a process that makes itself ready at once and begins when told to: the loading is done while another one works. */
export function workerProcess(contentRoot: string): WorkerProcess {
  const { PATH = '' } = process.env;
  const started: ChildProcessWithoutNullStreams = spawn(process.execPath, [child], {
    env: { PATH, CONTENT: contentRoot },
  });
  const lines: Interface = createInterface({ input: started.stdout });
  const answers: string[] = [];
  const waiting: ((line: string | undefined) => void)[] = [];
  let isGone = false;
  let complaints = '';
  lines.on('line', (line) => {
    const next = waiting.shift();
    if (next === undefined) answers.push(line);
    else next(line);
  });
  started.stderr.on('data', (chunk: Buffer) => {
    complaints += chunk.toString();
  });
  // A pipe to a process that was killed breaks; that is no fault.
  started.stdin.on('error', () => undefined);
  const gone = new Promise<void>((resolve) =>
    started.once('close', () => {
      isGone = true;
      for (const next of waiting.splice(0)) next(undefined);
      resolve();
    }),
  );
  const nextLine = (): Promise<string | undefined> => {
    const line = answers.shift();
    if (line !== undefined) return Promise.resolve(line);
    return isGone ? Promise.resolve(undefined) : new Promise((resolve) => waiting.push(resolve));
  };
  const ask = async <T>(what: unknown): Promise<T | undefined> => {
    started.stdin.write(`${JSON.stringify(what)}\n`);
    const line = await nextLine();
    return line === undefined ? undefined : (JSON.parse(line) as T);
  };
  const warm = nextLine();
  return {
    begin: async (plan) => {
      await warm;
      return (await ask<{ readonly port: number }>(plan))?.port;
    },
    left: () => ask('left?'),
    kill: () => void started.kill('SIGKILL'),
    gone,
    complaints: () => complaints,
  };
}
