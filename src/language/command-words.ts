import { z } from 'zod';
import { ContentError } from '../errors.ts';

/** Words that mean the same in every state: `locales/<language>/commands.yaml`. */
export const commandNames = [
  'join',
  'stop',
  'start',
  'help',
  'language',
  'repeat',
  'back',
  'person',
  'another',
  'cook',
  'food',
] as const;
/** A language may do without a word of its own for these: the words of every language work in all. */
const optionalCommands: readonly string[] = ['cook', 'food'];
export type CommandName = (typeof commandNames)[number];

const commandWordsSchema = z.strictObject(
  Object.fromEntries(
    commandNames.map((n) => {
      const words = z.array(z.string().min(1)).min(1);
      return [n, optionalCommands.includes(n) ? words.optional() : words];
    }),
  ) as Record<CommandName, z.ZodOptional<z.ZodArray<z.ZodString>>>,
);

export interface CommandWords {
  /** The command that a whole text is, in any language, with the language whose word it was. */
  command(text: string): { readonly command: CommandName; readonly language: string } | undefined;
}

/** @throws ContentError when a file lacks a command or two commands share a word */
export function compileCommandWords(
  files: readonly { readonly language: string; readonly data: unknown; readonly file: string }[],
): CommandWords {
  const byWord = new Map<string, { command: CommandName; language: string; file: string }>();
  const problems: string[] = [];
  for (const { language, data, file } of files) {
    const read = commandWordsSchema.safeParse(data);
    if (!read.success) {
      problems.push(`${file}: ${z.prettifyError(read.error)}`);
      continue;
    }
    for (const name of commandNames) {
      for (const word of read.data[name] ?? []) {
        const key = plain(word);
        const other = byWord.get(key);
        if (other !== undefined && other.command !== name) {
          problems.push(
            `${file}: "${word}" is ${name} here and ${other.command} in ${other.file}; give one another word`,
          );
        }
        if (other === undefined) byWord.set(key, { command: name, language, file });
      }
    }
  }
  if (problems.length > 0) throw new ContentError(problems);
  return { command: (text) => (text.length > 40 ? undefined : byWord.get(plain(text))) };
}

/** Case, accents of width, punctuation at the ends and runs of space do not matter in a command. */
function plain(text: string): string {
  return text
    .normalize('NFC')
    .toLowerCase()
    .replace(/[\u200b-\u200d\ufeff]/g, '')
    .replace(/^[\s.,!?'"#*-]+|[\s.,!?'"#*।-]+$/gu, '')
    .replace(/\s+/g, ' ');
}
