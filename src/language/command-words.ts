import { z } from 'zod';
import { ContentError } from '../errors.ts';
import { rememberedTexts } from './remembered.ts';

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
  'pause',
  'resume',
  'hour',
  'tips',
  'no-tips',
  'by-call',
  'by-text',
] as const;
/** Commands that may have a number of days or a time of day beside them. */
const restedCommands = ['pause', 'hour'] as const;
/** A language may do without a word of its own for these: the words of every language work in all. */
const optionalCommands: readonly CommandName[] = [
  'cook',
  'food',
  'pause',
  'resume',
  'hour',
  'tips',
  'no-tips',
  'by-call',
  'by-text',
];
export type CommandName = (typeof commandNames)[number];

const commandWordsSchema = z.strictObject(
  Object.fromEntries(
    commandNames.map((n) => {
      const words = z.array(z.string().min(1)).min(1);
      return [n, optionalCommands.includes(n) ? words.optional() : words];
    }),
  ) as Record<CommandName, z.ZodOptional<z.ZodArray<z.ZodString>>>,
);

/** A command with what stands beside its word, in small letters: "pause 5 days" leaves "5 days". */
export interface RestedCommand {
  readonly command: (typeof restedCommands)[number];
  readonly language: string;
  readonly rest: string;
}

/** Longest text that can be a command with something beside it, in characters. */
const longestRested = 40;

export interface CommandWords {
  /** The command that a whole text is, in any language, with the language whose word it was. */
  command(text: string): { readonly command: CommandName; readonly language: string } | undefined;
  /** The command whose word begins or ends a text that says more; whether the rest makes sense is for the caller to read. */
  withRest(text: string): RestedCommand | undefined;
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
  const rested = [...byWord].flatMap(([word, { command, language }]) => {
    const one = restedCommands.find((name) => name === command);
    return one === undefined ? [] : [{ word, command: one, language }];
  });
  // "ask me at" before "ask": the longest word that fits says most.
  rested.sort((a, b) => b.word.length - a.word.length);
  const plainly = rememberedTexts(plain);
  const restIn = rememberedTexts((text): { readonly told: RestedCommand | undefined } => {
    const whole = plainly(text);
    for (const { word, command, language } of rested) {
      const rest = besides(whole, word);
      if (rest !== undefined) return { told: { command, language, rest } };
    }
    return { told: undefined };
  });
  return {
    command: (text) => (text.length > 40 ? undefined : byWord.get(plainly(text))),
    withRest: (text) => (text.length > longestRested ? undefined : restIn(text).told),
  };
}

/** What is left of a text that begins or ends with the word, as a word of its own or right before a figure. */
function besides(text: string, word: string): string | undefined {
  const after = text.slice(word.length);
  if (text.startsWith(word) && /^[\s\d\u0966-\u096f:.,=-]/u.test(after)) return trimmed(after);
  const before = text.slice(0, -word.length);
  if (text.endsWith(word) && /[\s:.,-]$/u.test(before)) return trimmed(before);
  return undefined;
}

function trimmed(rest: string): string | undefined {
  const words = rest.replace(/^[\s:.,=-]+|[\s:.,=-]+$/gu, '');
  return words === '' ? undefined : words;
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
