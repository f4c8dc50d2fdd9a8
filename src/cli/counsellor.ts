import { parseArgs } from 'node:util';
import { parsePhoneNumberFromString } from 'libphonenumber-js';
import { readConfig } from '../config.ts';
import { ConfigError } from '../errors.ts';
import { loadLanguages } from '../programme/load-content.ts';
import type { Command } from './command.ts';

const usage = 'counsellor add --id anita --name Anita --phone +NUMBER --language CODE [--area NAME] [--lead]';

interface NewCounsellor {
  readonly id: string;
  readonly name: string;
  readonly phone: string;
  readonly language: string;
  readonly lead: boolean;
  /** Areas whose mothers she sees, between commas; undefined: all. */
  readonly area: string | undefined;
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
    if (asked.area !== undefined)
      return complain(
        [
          '--area needs a rota file: set ROTA_FILE to your copy of rota.example.yaml, and move the counsellors there',
        ],
        1,
      );
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
      options: {
        ...{ id: text, name: text, phone: text, language: text, area: text },
        lead: { type: 'boolean' },
      },
    });
    const { id, name, phone, language, area, lead = false } = values;
    if (id === undefined || name === undefined || phone === undefined || language === undefined)
      return '--id, --name, --phone and --language are all needed';
    const number = parsePhoneNumberFromString(phone);
    return { id, name: name.trim(), phone: number?.number ?? phone, language, lead, area: area?.trim() };
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

function problemsOf({ id, name, phone, language, lead, area }: NewCounsellor): readonly string[] {
  const languages = loadLanguages().map((l) => l.code);
  return [
    ...(/^[a-z][a-z0-9-]*$/.test(id) ? [] : ['--id must be small letters, digits and dashes, like anita']),
    ...(/^[^:,]{1,20}$/.test(name) ? [] : ['--name must have 1 to 20 characters, without : and ,']),
    ...(/^\+[1-9]\d{6,14}$/.test(phone) ? [] : ['--phone must be +country and digits']),
    ...(area === undefined || areaNames(area).every((one) => /^[^"\\]{1,40}$/.test(one))
      ? []
      : ['--area must be one name of 1 to 40 characters, or several with commas']),
    ...(area !== undefined && lead ? ['--area and --lead do not go together: a lead sees all'] : []),
    ...(languages.includes(language) ? [] : [`--language must be one of ${languages.join(', ')}`]),
  ];
}

function areaNames(area: string): readonly string[] {
  return area.split(',').map((one) => one.trim());
}

function rotaEntry({ id, name, phone, language, lead, area }: NewCounsellor): string {
  const role = lead ? '\n    role: lead' : '';
  const where =
    area === undefined
      ? ''
      : `\n    area: [${areaNames(area)
          .map((one) => JSON.stringify(one))
          .join(', ')}]`;
  return `  - id: ${id}\n    name: ${JSON.stringify(name)}\n    phone: "${phone}"\n    languages: [${language}]${where}${role}\n`;
}
