import { existsSync } from 'node:fs';
import { chmod, rm, writeFile } from 'node:fs/promises';
import { basename, resolve } from 'node:path';
import { readConfig } from '../config.ts';
import { copyDatabase, lookThrough, renameForGood } from '../store/sqlite/database-file.ts';
import type { Command } from './command.ts';
import { databaseOf, keysOf } from './open-store.ts';

const usage = 'backup <file>';

/** `eightfeeds backup`: a checked copy of the embedded store, taken while the line runs. */
export const command: Command = {
  summary: 'copy the embedded store while the line runs, and check the copy',
  usage,
  async run(args, { env, output, errors }) {
    const [to, ...more] = args;
    if (to === undefined || to.startsWith('-') || more.length > 0) {
      errors.write(`eightfeeds ${usage}\n`);
      return 2;
    }
    const config = readConfig(env);
    const from = databaseOf(config);
    const file = resolve(to);
    if (existsSync(file)) {
      errors.write(`eightfeeds backup: ${file} is there already. Give another name.\n`);
      return 1;
    }
    const unfinished = `${file}.unfinished`;
    try {
      await rm(unfinished, { force: true });
      await copyDatabase(from, unfinished);
      await chmod(unfinished, 0o600);
      const sealer = keysOf(config);
      const facts = await lookThrough(unfinished, sealer);
      await writeFile(`${file}.sha256`, `${facts.sha256}  ${basename(file)}\n`, { mode: 0o600 });
      await renameForGood(unfinished, file);
      output.write(
        `${file}: ${facts.lines} lines, ${facts.openAlerts} open alerts, ${facts.bytes} bytes, sha256 ${facts.sha256}\n`,
      );
      if (sealer === undefined)
        errors.write('SEALING_KEYS is not set here, so it was not tried whether the keys open the copy.\n');
      errors.write(
        'Keep the sealing keys and the pepper too, somewhere else: without them it says nothing.\n',
      );
      return 0;
    } finally {
      await rm(unfinished, { force: true });
    }
  },
};
