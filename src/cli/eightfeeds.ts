#!/usr/bin/env node
import { ConfigError, ContentError, StoreUnavailable } from '../errors.ts';
import type { Command } from './command.ts';

/** Each command is its own module, loaded only when asked for. */
const commands: Readonly<Record<string, () => Promise<{ readonly command: Command }>>> = {
  assess: () => import('./assess.ts'),
  backup: () => import('./backup.ts'),
  check: () => import('./check.ts'),
  cost: () => import('./cost.ts'),
  counsellor: () => import('./counsellor.ts'),
  delivered: () => import('./delivered.ts'),
  doctor: () => import('./doctor.ts'),
  move: () => import('./move.ts'),
  read: () => import('./read.ts'),
  recordings: () => import('./recordings.ts'),
  reseal: () => import('./reseal.ts'),
  restore: () => import('./restore.ts'),
  settings: () => import('./settings.ts'),
  tips: () => import('./tips.ts'),
  trace: () => import('./trace.ts'),
};

async function main(args: readonly string[]): Promise<number> {
  const [name = 'help', ...rest] = args;
  const load = commands[name];
  if (load === undefined) {
    const asked = name === 'help' || name === '--help';
    const loaded = await Promise.all(
      Object.entries(commands).map(async ([n, l]) => [n, (await l()).command] as const),
    );
    const lines = loaded.map(
      ([n, c]) => `  ${(c.usage.startsWith(n) ? c.usage : `${n} ${c.usage}`).padEnd(44)} ${c.summary}`,
    );
    (asked ? process.stdout : process.stderr).write(
      `${asked ? '' : `eightfeeds: there is no command "${name}"\n`}eightfeeds <command>\n${lines.join('\n')}\n`,
    );
    return asked ? 0 : 2;
  }
  const { command } = await load();
  return command.run(rest, {
    input: process.stdin,
    output: process.stdout,
    errors: process.stderr,
    env: process.env,
  });
}

main(process.argv.slice(2)).then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    const message =
      error instanceof ConfigError || error instanceof ContentError || error instanceof StoreUnavailable
        ? error.message
        : error instanceof Error
          ? (error.stack ?? error.message)
          : String(error);
    process.stderr.write(`eightfeeds: ${message}\n`);
    process.exitCode = 1;
  },
);
