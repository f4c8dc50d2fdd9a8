import { recordingSheet } from '../programme/recordings.ts';
import type { Command } from './command.ts';

/** Tab-separated, one prompt a line: language, state, file, words. `--missing` leaves out what is recorded. */
export const command: Command = {
  summary: 'list the voice prompts to record, with file names, words and state',
  usage: '[--language <code>] [--missing]',
  run: (args, io) => {
    const at = args.indexOf('--language');
    const language = at === -1 ? undefined : args[at + 1];
    const lines = recordingSheet().filter(
      (line) =>
        (language === undefined || line.language === language) &&
        (!args.includes('--missing') || line.state !== 'recorded'),
    );
    for (const { language: code, state, file, words } of lines) {
      io.output.write(`${[code, state, file, words.replace(/\s+/gu, ' ')].join('\t')}\n`);
    }
    return Promise.resolve(0);
  },
};
