import { settingsTable } from '../config.ts';
import type { Command } from './command.ts';

export const command: Command = {
  summary: 'print the table of settings, as it stands in the README',
  usage: '',
  run: (_args, io) => {
    io.output.write(`${settingsTable()}\n`);
    return Promise.resolve(0);
  },
};
