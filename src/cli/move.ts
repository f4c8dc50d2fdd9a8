import { existsSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { type Config, readConfig } from '../config.ts';
import { ConfigError } from '../errors.ts';
import { moveLines } from '../programme/move-lines.ts';
import { takeOutOfUse } from '../store/sqlite/database-file.ts';
import type { Store } from '../store/store.ts';
import type { Command, CommandIo } from './command.ts';
import { databaseFile, openPlace, type Place, requiredKeys } from './open-store.ts';

const usage = 'move --from <place> --to <place>';
const places = 'A place is a file, redis://..., or sqlite or redis as they are set.';

/** How often is told how far it is. */
const tellEveryMs = 2_000;

/** `eightfeeds move`: everything from one store to another, verified line by line. The line must be stopped. */
export const command: Command = {
  summary: 'copy everything from one store to another and verify it; begun again, it goes on where it was',
  usage,
  async run(args, { env, output, errors }) {
    const asked = placesIn(args);
    if (asked === undefined) {
      errors.write(`eightfeeds ${usage}\n${places}\n`);
      return 2;
    }
    const config = readConfig(env);
    const keys = requiredKeys(config);
    const from = placeOf(asked.from, config, env);
    const to = placeOf(asked.to, config, env);
    if ('file' in from) {
      if (!existsSync(from.file)) throw new ConfigError([`There is no store at ${from.file}.`]);
      takeOutOfUse(from.file);
    }
    if ('file' in to && existsSync(to.file)) takeOutOfUse(to.file);
    const opened: Store[] = [];
    const open = async (place: Place) => {
      const store = await openPlace(place, keys);
      opened.push(store);
      return store;
    };
    let toldAt = performance.now();
    try {
      const moved = await moveLines(await open(from), await open(to), (done, all) => {
        if (performance.now() - toldAt < tellEveryMs) return;
        toldAt = performance.now();
        errors.write(`${done} of ${all} lines\n`);
      });
      const before = moved.wereThere === 0 ? '' : `, ${moved.wereThere} of them by an earlier start`;
      output.write(`${moved.lines} lines moved and verified${before}; sha256 ${moved.sha256}\n`);
      errors.write(
        'The source is as it was. Set STORE to the new place, and never start the line on the old.\n',
      );
      return 0;
    } finally {
      for (const store of opened) await store.close();
    }
  },
};

function placesIn(args: readonly string[]): { readonly from: string; readonly to: string } | undefined {
  try {
    const text = { type: 'string' } as const;
    const { from, to } = parseArgs({ args: [...args], options: { from: text, to: text } }).values;
    return from === undefined || to === undefined || from === to ? undefined : { from, to };
  } catch {
    return undefined; // An argument that is not known.
  }
}

/** `redis` and `sqlite` keep a password off the command line, where others can read it. */
function placeOf(text: string, config: Config, env: CommandIo['env']): Place {
  if (text === 'sqlite') return { file: databaseFile(config) };
  if (text !== 'redis' && !/^rediss?:/.test(text)) return { file: text };
  const { REDIS_URL, REDIS_REPLICAS_WAITED } = env;
  const isAsSet = text === 'redis';
  const { redis } = readConfig({
    STORE: 'redis',
    REDIS_URL: isAsSet ? REDIS_URL : text,
    ...(isAsSet ? { REDIS_REPLICAS_WAITED } : {}),
  });
  return redis === undefined ? { file: text } : { redis };
}
