import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { traceOf } from '../trace-id.ts';
import type { Command } from './command.ts';
import { followed, readLogLine, type Step, stepWords } from './trace-steps.ts';

/** `eightfeeds trace <id>`: what became of one message or call, out of the log. */
export const command: Command = {
  summary: 'what became of one text, call or message, out of a log at debug level',
  usage: 'trace <carrier id, trace or message id> < log',
  async run(args, io) {
    const { positionals } = parseArgs({ args: [...args], allowPositionals: true, strict: false });
    const [id] = positionals;
    if (id === undefined || positionals.length > 1) {
      io.errors.write(`usage: eightfeeds ${this.usage}\n`);
      return 2;
    }
    const steps: Step[] = [];
    for await (const text of createInterface({ input: io.input, crlfDelay: Number.POSITIVE_INFINITY })) {
      const step = readLogLine(text);
      if (step !== undefined) steps.push(step);
    }
    const found = followed(steps, [id, traceOf(id)]);
    if (found.length === 0) {
      io.errors.write(
        `Nothing about it among ${steps.length} steps in the log. Steps are logged with LOG_LEVEL=debug.\n`,
      );
      return 1;
    }
    for (const step of found) io.output.write(`${stepWords(step)}\n`);
    return 0;
  },
};
