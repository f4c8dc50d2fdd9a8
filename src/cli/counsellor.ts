import { parseArgs } from 'node:util';
import { parsePhoneNumberFromString } from 'libphonenumber-js';
import { readConfig } from '../config.ts';
import { ConfigError } from '../errors.ts';
import { loadLanguages } from '../programme/load-content.ts';
import type { Command } from './command.ts';

const usage = 'counsellor add --id anita --name Anita --phone +NUMBER --language CODE [--lead]';

interface NewCounsellor {
  readonly id: string;
  readonly name: string;
  readonly phone: string;
  readonly language: string;
  readonly lead: boolean;
}

/** `eightfeeds counsellor add`: checks a new counsellor and prints the setting to put in place of the one there is. */
export const command: Command = {
  summary: 'check a new counsellor and print the setting',
  usage,
  async run(args, { env, output, errors }) {
    const complain = (problems: readonly string[], code: 1 | 2) => {
      errors.write(problems.map((problem) => `eightfeeds counsellor: ${problem}\n`).join(''));
      if (code === 2) errors.write(`eightfeeds ${usage}\n`);
      return code;
    };
    const asked = newCounsellor(args);
    if (typeof asked === 'string') return complain([asked], 2);
    const problems = problemsOf(asked);
    if (problems.length > 0) return complain(problems, 1);
    if ((env['ROTA_FILE'] ?? '') !== '') {
      errors.write(`Add this to the counsellors of ${env['ROTA_FILE']}, and give her shifts there:\n`);
      output.write(rotaEntry(asked));
      return 0;
    }
    const { id, name, phone, language, lead } = asked;
    const before = env['COUNSELLORS'] ?? '';
    const entry = [id, name, phone, language, ...(lead ? ['lead'] : [])].join(':');
    const value = before === '' ? entry : `${before},${entry}`;
    try {
      const { counsellors } = readConfig({ COUNSELLORS: value }).programme;
      if (!counsellors.some((c) => c.lead)) {
        errors.write(
          'Nobody is the lead yet. Alerts that nobody takes come to the lead, and only she reads who did what: add one with --lead.\n',
        );
      }
    } catch (error) {
      if (error instanceof ConfigError) return complain(error.problems, 1);
      throw error;
    }
    errors.write('Set this where the line is started, and start it again:\n');
    output.write(`COUNSELLORS=${value}\n`);
    return 0;
  },
};

/** What was asked for, or what is wrong with how it was asked. */
function newCounsellor([verb, ...args]: readonly string[]): NewCounsellor | string {
  if (verb !== 'add') return 'the one thing to do is "add"';
  try {
    const text = { type: 'string' } as const;
    const { values } = parseArgs({
      args,
      options: { id: text, name: text, phone: text, language: text, lead: { type: 'boolean' } },
    });
    const { id, name, phone, language, lead = false } = values;
    if (id === undefined || name === undefined || phone === undefined || language === undefined)
      return '--id, --name, --phone and --language are all needed';
    const number = parsePhoneNumberFromString(phone);
    return { id, name: name.trim(), phone: number?.number ?? phone, language, lead };
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

function problemsOf({ id, name, phone, language }: NewCounsellor): readonly string[] {
  const languages = loadLanguages().map((l) => l.code);
  return [
    ...(/^[a-z][a-z0-9-]*$/.test(id) ? [] : ['--id must be small letters, digits and dashes, like anita']),
    ...(/^[^:,]{1,20}$/.test(name) ? [] : ['--name must have 1 to 20 characters, without : and ,']),
    ...(/^\+[1-9]\d{6,14}$/.test(phone) ? [] : ['--phone must be +country and digits']),
    ...(languages.includes(language) ? [] : [`--language must be one of ${languages.join(', ')}`]),
  ];
}

function rotaEntry({ id, name, phone, language, lead }: NewCounsellor): string {
  const role = lead ? '\n    role: lead' : '';
  return `  - id: ${id}\n    name: ${JSON.stringify(name)}\n    phone: "${phone}"\n    languages: [${language}]${role}\n`;
}
