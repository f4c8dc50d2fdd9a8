import { setTimeout as wait } from 'node:timers/promises';
import { readConfig } from '../config.ts';
import { readSealingKeys } from '../store/sealing.ts';
import { takeOutOfUse, writeAnew } from '../store/sqlite/database-file.ts';
import type { Store } from '../store/store.ts';
import type { Command, CommandIo } from './command.ts';
import { databaseOf, openStoreOf, requiredKeys } from './open-store.ts';

const usage = 'reseal [--clean]';

/** Lines in one step: a step must not hold up a mother's turn. */
const linesAtOnce = 20;
/** Between two steps, in milliseconds. */
const restMs = 10;
/** How often is told how far it is. */
const tellEveryMs = 5_000;
/** Passes until it is plain that a process still seals by an older key. */
const mostPasses = 5;

/**
 * `eightfeeds reseal`: brings everything under the newest sealing key, beside the running line. With `--clean`, when the old key is
 * in wrong hands: the embedded store's file is written anew as well, with the line stopped.
 */
export const command: Command = {
  summary: 'seal everything by the newest key, while the line runs; then the old key can be taken away',
  usage,
  async run(args, { env, output, errors }) {
    if (args.some((arg) => arg !== '--clean')) {
      errors.write(`eightfeeds ${usage}\n`);
      return 2;
    }
    const config = readConfig(env);
    const [newest, ...older] = readSealingKeys(requiredKeys(config)).map((key) => key.id);
    const isClean = args.includes('--clean');
    if (isClean) takeOutOfUse(databaseOf(config));
    const store = await openStoreOf(config);
    const isDone = await passes(store, output, errors).finally(() => store.close());
    if (!isDone) {
      errors.write(
        `Values are still being sealed by an older key: a process runs whose SEALING_KEYS does not begin with "${newest}". Start it anew, then run this again.\n`,
      );
      return 1;
    }
    if (isClean) writeAnew(databaseOf(config));
    output.write(`Everything is sealed by key "${newest}".\n`);
    if (older.length > 0)
      errors.write(
        `${older.map((id) => `"${id}"`).join(', ')} can be taken out of SEALING_KEYS when every process has been started with "${newest}" first. Keep old keys as long as backups that they sealed.\n`,
      );
    return 0;
  },
};

/** Passes until one finds nothing to do; false when there is always more. */
async function passes(
  store: Store,
  output: CommandIo['output'],
  errors: CommandIo['errors'],
): Promise<boolean> {
  for (let pass = 1; pass <= mostPasses; pass++) {
    const { lines, values } = await onePass(store, errors);
    output.write(`pass ${pass}: ${lines} lines, ${values} values sealed anew\n`);
    if (values === 0) return true;
  }
  return false;
}

async function onePass(
  store: Store,
  errors: CommandIo['errors'],
): Promise<{ readonly lines: number; readonly values: number }> {
  let [lines, values] = [0, 0];
  let toldAt = performance.now();
  let after: string | undefined;
  do {
    const step = await store.reseal(linesAtOnce, after);
    lines += step.lines;
    values += step.values;
    after = step.after;
    if (performance.now() - toldAt > tellEveryMs) {
      toldAt = performance.now();
      errors.write(`${lines} lines looked at\n`);
    }
    if (step.values > 0) await wait(restMs);
  } while (after !== undefined);
  return { lines, values };
}
