import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { practiceKeys } from '../channels/practice/practice-keys.ts';
import type { Config } from '../config.ts';
import { ConfigError } from '../errors.ts';
import { openRedisStore } from '../store/redis/redis-store.ts';
import { openSealer, readSealingKeys, type Sealer } from '../store/sealing.ts';
import { openSqliteStore } from '../store/sqlite/sqlite-store.ts';
import type { Store } from '../store/store.ts';

/** Where a store is: a database file, or a Redis server or cluster. */
export type Place = { readonly file: string } | { readonly redis: NonNullable<Config['redis']> };

/**
 * The store that the settings name, for a command beside the running line.
 * @throws ConfigError when there is no such store yet: a command makes none
 */
export async function openStoreOf(config: Config): Promise<Store> {
  const place = config.redis === undefined ? { file: databaseOf(config) } : { redis: config.redis };
  return openPlace(place, requiredKeys(config));
}

/** The store at a place. A database file is made when there is none. @param keys as `SEALING_KEYS` */
export async function openPlace(place: Place, keys: string): Promise<Store> {
  const sealer = openSealer(readSealingKeys(keys));
  return 'redis' in place
    ? openRedisStore({ ...place.redis, sealer })
    : openSqliteStore({ file: place.file, sealer });
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

/** What opens the values of the embedded store; undefined when no key is set. */
export function keysOf(config: Config): Sealer | undefined {
  const keys = sealingKeysOf(config);
  return keys === undefined ? undefined : openSealer(readSealingKeys(keys));
}

/** The keys that are set, or the practice line's own. @throws ConfigError with neither */
export function requiredKeys(config: Config): string {
  const keys = sealingKeysOf(config);
  if (keys === undefined)
    throw new ConfigError(['SEALING_KEYS is not set: what is kept cannot be opened without it.']);
  return keys;
}

function sealingKeysOf(config: Config): string | undefined {
  if (config.sealingKeys !== undefined) return config.sealingKeys;
  const hasPractice = existsSync(join(config.dataDir, 'practice-keys.json'));
  return hasPractice ? practiceKeys(config.dataDir).sealingKeys : undefined;
}
