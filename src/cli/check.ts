import { z } from 'zod';
import { flowSchema } from '../dialog/flow.ts';
import { checkContent } from '../programme/check/check-content.ts';
import { contentRoot, loadFlows, loadLanguages } from '../programme/load-content.ts';
import type { Command } from './command.ts';

/** `--schema` prints the JSON Schema of a flow, for editors; `--root` checks another folder's `flows` and `locales`. */
export const command: Command = {
  summary: 'prove that all flows and languages are whole, without running a server',
  usage: '[--schema] [--root <folder>]',
  run: (args, io) => {
    if (args.includes('--schema')) {
      io.output.write(`${JSON.stringify(z.toJSONSchema(flowSchema), null, 2)}\n`);
      return Promise.resolve(0);
    }
    const at = args.indexOf('--root');
    const root = at === -1 ? contentRoot : (args[at + 1] ?? contentRoot);
    const findings = checkContent(root);
    const problems = findings.filter((f) => f.weight === 'problem');
    for (const { text } of problems) io.errors.write(`${text}\n`);
    for (const { text } of findings.filter((f) => f.weight === 'remark'))
      io.output.write(`remark: ${text}\n`);
    const counts = `${loadFlows(root).length} flows, ${loadLanguages(root).length} languages`;
    io.output.write(
      problems.length === 0 ? `${counts}: whole\n` : `${counts}: ${problems.length} problems\n`,
    );
    return Promise.resolve(problems.length === 0 ? 0 : 1);
  },
};
