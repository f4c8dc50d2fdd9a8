import { z } from 'zod';
import { tipsFile } from '../care/tips/tips-file.ts';
import { readConfig } from '../config.ts';
import { flowSchema } from '../dialog/flow.ts';
import { openCalendar } from '../language/calendar.ts';
import { checkContent } from '../programme/check/check-content.ts';
import { tipsPicture } from '../programme/check/tips.ts';
import { contentRoot, loadFlows, loadLanguages } from '../programme/load-content.ts';
import { checkRota } from '../programme/check/rota-cover.ts';
import { loadRota } from '../programme/load-rota.ts';
import { loadTips } from '../programme/load-tips.ts';
import type { Command, CommandIo } from './command.ts';

/**
 * `--schema` prints the JSON Schema of a flow, for editors, `--schema tips` that of the calendar of tips; `--root` checks another
 * folder's `flows` and `locales`; `--rota`, or ROTA_FILE, also checks that somebody is on duty in every hour of the coming month, on the clock of TIME_ZONE.
 */
export const command: Command = {
  summary: 'prove that all flows and languages are whole, without running a server',
  usage: '[--schema [tips]] [--root <folder>] [--rota <file>]',
  run: (args, io) => {
    const schemaAt = args.indexOf('--schema');
    if (schemaAt !== -1) {
      const schema = args[schemaAt + 1] === 'tips' ? tipsFile : flowSchema;
      io.output.write(`${JSON.stringify(z.toJSONSchema(schema), null, 2)}\n`);
      return Promise.resolve(0);
    }
    const at = args.indexOf('--root');
    const root = at === -1 ? contentRoot : (args[at + 1] ?? contentRoot);
    const languages = loadLanguages(root).map((l) => l.code);
    const findings = [...checkContent(root), ...rotaFindings(args, io, languages)];
    const problems = findings.filter((f) => f.weight === 'problem');
    for (const { text } of problems) io.errors.write(`${text}\n`);
    for (const { text } of findings.filter((f) => f.weight === 'remark'))
      io.output.write(`remark: ${text}\n`);
    for (const line of tipsPicture(root, languages)) io.output.write(`${line}\n`);
    const counts = `${loadFlows(root).length} flows, ${loadTips(root, languages).length} tips, ${languages.length} languages`;
    io.output.write(
      problems.length === 0 ? `${counts}: whole\n` : `${counts}: ${problems.length} problems\n`,
    );
    return Promise.resolve(problems.length === 0 ? 0 : 1);
  },
};

function rotaFindings(args: readonly string[], { env }: CommandIo, languages: readonly string[]) {
  const at = args.indexOf('--rota');
  const path = at === -1 ? env['ROTA_FILE'] : args[at + 1];
  if (path === undefined || path === '') return [];
  // The settings that a server would start with: its time zone, and nothing that it needs to start.
  const { timeZone } = readConfig({ TIME_ZONE: env['TIME_ZONE'] }).programme;
  return checkRota(path, loadRota(path, languages), openCalendar(timeZone), Date.now(), languages);
}
