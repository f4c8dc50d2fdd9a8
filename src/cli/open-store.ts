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
  const sealer = sealerOf(config);
  if (config.redisUrl !== undefined) return openRedisStore({ url: config.redisUrl, sealer });
  const file = join(config.dataDir, 'eightfeeds.db');
  if (!existsSync(file)) throw new ConfigError([`DATA_DIR: there is no store in ${config.dataDir}.`]);
  return openSqliteStore({ file, sealer });
}

function sealerOf(config: Config): Sealer {
  const keys =
    config.sealingKeys ??
    (existsSync(join(config.dataDir, 'practice-keys.json'))
      ? practiceKeys(config.dataDir).sealingKeys
      : undefined);
  if (keys === undefined)
    throw new ConfigError(['SEALING_KEYS is not set: what is kept cannot be opened without it.']);
  return openSealer(readSealingKeys(keys), config.redisUrl === undefined ? {} : { deflateFrom: 1_024 });
}
