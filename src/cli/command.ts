import type { Readable, Writable } from 'node:stream';

/** Where a command reads and writes. Only results go to `output`. */
export interface CommandIo {
  readonly input: Readable;
  readonly output: Writable;
  readonly errors: Writable;
  readonly env: Readonly<Record<string, string | undefined>>;
}

/** One command of `eightfeeds`. `run` gives the exit code: 0 done, 1 something in the input was bad, 2 used wrongly. */
export interface Command {
  readonly summary: string;
  readonly usage: string;
  run(args: readonly string[], io: CommandIo): Promise<number>;
}
