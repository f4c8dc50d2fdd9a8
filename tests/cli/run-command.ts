import { PassThrough, Readable } from 'node:stream';
import { text as all } from 'node:stream/consumers';
import type { Command } from '../../src/cli/command.ts';

/** What a command said and how it ended. */
export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs a command in this process; what it throws goes on. */
export async function runCommand(
  command: Command,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Promise<Ran> {
  const [output, errors] = [new PassThrough(), new PassThrough()];
  const [out, err] = [all(output), all(errors)];
  const code = await command.run(args, { input: Readable.from([]), output, errors, env }).finally(() => {
    output.end();
    errors.end();
  });
  return { code, out: await out, err: await err };
}
