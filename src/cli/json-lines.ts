import { once } from 'node:events';
import { createInterface } from 'node:readline';
import type { CommandIo } from './command.ts';

/** Why a line cannot be used. Says nothing of what was written in it. */
export class BadLine extends Error {}

/**
 * Turns each line of JSON into one line of JSON. A bad line is named by its number on `errors` and the others go on.
 * A reader that goes away (`| head`) ends it quietly; what was not yet read is not judged.
 * @param turn gives the result for one parsed line; throws BadLine
 * @returns 0, or 1 when a line was bad
 * @throws what the output throws when it fails in another way, such as a full disk
 */
export async function eachJsonLine(io: CommandIo, turn: (line: unknown) => unknown): Promise<number> {
  let number = 0;
  let stopped = false;
  const noReader = (error: Error): void => {
    if (!isBrokenPipe(error)) throw error;
    stopped = true;
  };
  io.output.on('error', noReader);
  io.errors.on('error', noReader);
  let code = 0;
  for await (const line of createInterface({ input: io.input, crlfDelay: Number.POSITIVE_INFINITY })) {
    if (stopped) break;
    number += 1;
    const text = number === 1 ? line.replace(/^\ufeff/u, '') : line;
    if (text.trim() === '') continue;
    try {
      const result = JSON.stringify(turn(parsed(text)));
      if (!io.output.write(`${result}\n`)) await once(io.output, 'drain');
    } catch (error) {
      if (isBrokenPipe(error)) break;
      if (!(error instanceof BadLine)) throw error;
      io.errors.write(`eightfeeds: line ${number}: ${error.message}\n`);
      code = 1;
    }
  }
  return code;
}

function isBrokenPipe(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EPIPE';
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new BadLine('this is not JSON; each line must be one JSON object');
  }
}
