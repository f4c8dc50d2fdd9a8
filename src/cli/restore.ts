import { existsSync } from 'node:fs';
import { copyFile, mkdir, readFile, rename, rm } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { readConfig } from '../config.ts';
import { StoreUnavailable } from '../errors.ts';
import { lookThrough, renameForGood, sha256Of, takeOutOfUse } from '../store/sqlite/database-file.ts';
import type { Command } from './command.ts';
import { databaseFile, keysOf } from './open-store.ts';

const usage = 'restore <file> [--replace]';

/** `eightfeeds restore`: puts a backup where the line looks for its store. The line must be stopped. */
export const command: Command = {
  summary: 'put a backup in the place of the embedded store; --replace when there is one',
  usage,
  async run(args, { env, output, errors }) {
    const [name, ...more] = args.filter((arg) => arg !== '--replace');
    if (name === undefined || name.startsWith('-') || more.length > 0) {
      errors.write(`eightfeeds ${usage}\n`);
      return 2;
    }
    const config = readConfig(env);
    const backup = resolve(name);
    const file = databaseFile(config);
    const isThere = existsSync(file);
    if (isThere && !args.includes('--replace')) {
      errors.write(
        `eightfeeds restore: there is a store in ${config.dataDir}. With --replace it is set aside first.\n`,
      );
      return 1;
    }
    await mkdir(dirname(file), { recursive: true });
    const unfinished = `${file}.unfinished`;
    try {
      await checkSum(backup);
      await copyFile(backup, unfinished);
      const sealer = keysOf(config);
      const facts = await lookThrough(unfinished, sealer);
      if (isThere) {
        takeOutOfUse(file);
        const aside = `${file}.before-${new Date().toISOString().replaceAll(/[:.]/g, '-')}`;
        await rename(file, aside);
        errors.write(`The store that was there is now ${aside}\n`);
      }
      await renameForGood(unfinished, file);
      if (sealer === undefined)
        errors.write('SEALING_KEYS is not set here, so it was not tried whether the keys open it.\n');
      output.write(`${file}: ${facts.lines} lines, ${facts.openAlerts} open alerts\n`);
      errors.write(
        `What happened after the backup is not in it. Messages that waited then (${facts.waitingMessages}) go out when the line starts, also those that went out since.\n`,
      );
      return 0;
    } finally {
      await rm(unfinished, { force: true });
    }
  },
};

/** Compares with the sum that `backup` wrote beside it, when that is there. */
async function checkSum(backup: string): Promise<void> {
  if (!existsSync(backup)) throw new StoreUnavailable(`There is no file ${backup}.`);
  const beside = `${backup}.sha256`;
  if (!existsSync(beside)) return;
  const wanted = (await readFile(beside, 'utf8')).slice(0, 64);
  if ((await sha256Of(backup)) !== wanted)
    throw new StoreUnavailable(`${backup} is not as it was written: its sum is not the one in ${beside}.`);
}
