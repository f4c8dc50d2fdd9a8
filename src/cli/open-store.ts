import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { practiceKeys } from '../channels/practice/practice-keys.ts';
import type { Config } from '../config.ts';
import { ConfigError } from '../errors.ts';
import { openRedisStore } from '../store/redis/redis-store.ts';
import { openSealer, readSealingKeys, type Sealer } from '../store/sealing.ts';
import { openSqliteStore } from '../store/sqlite/sqlite-store.ts';
import type { Store } from '../store/store.ts';

/**
 * The store that the settings name, for a command beside the running line.
 * @throws ConfigError when there is no such store yet: a command makes none
 */
export async function openStoreOf(config: Config): Promise<Store> {
  const sealer = keysOf(config);
  if (sealer === undefined)
    throw new ConfigError(['SEALING_KEYS is not set: what is kept cannot be opened without it.']);
  if (config.redis !== undefined) return openRedisStore({ ...config.redis, sealer });
  return openSqliteStore({ file: databaseOf(config), sealer });
}

/** Where the embedded store is, or will be. */
export function databaseFile(config: Config): string {
  return join(config.dataDir, 'eightfeeds.db');
}

/** The embedded store's file. @throws ConfigError when the settings name Redis, or there is no file yet */
export function databaseOf(config: Config): string {
  if (config.redis !== undefined)
    throw new ConfigError([
      'STORE is "redis": this command is for the embedded store. Redis keeps its append-only file; copy that.',
    ]);
  const file = databaseFile(config);
  if (!existsSync(file)) throw new ConfigError([`DATA_DIR: there is no store in ${config.dataDir}.`]);
  return file;
}

/** What opens sealed values: the keys that are set, or the practice line's own; undefined with neither. */
export function keysOf(config: Config): Sealer | undefined {
  const keys =
    config.sealingKeys ??
    (existsSync(join(config.dataDir, 'practice-keys.json'))
      ? practiceKeys(config.dataDir).sealingKeys
      : undefined);
  if (keys === undefined) return undefined;
  return openSealer(readSealingKeys(keys));
}
