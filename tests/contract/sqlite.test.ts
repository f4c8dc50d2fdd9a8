import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import { storeContract } from './store.ts';

storeContract({
  name: 'SQLite',
  place: async () => {
    const folder = await mkdtemp(join(tmpdir(), 'eightfeeds-sqlite-'));
    return {
      open: (sealer) => Promise.resolve(openSqliteStore({ file: join(folder, 'eightfeeds.db'), sealer })),
      bytesOnDisk: async () => {
        const files = await readdir(folder);
        return Buffer.concat(await Promise.all(files.map((file) => readFile(join(folder, file)))));
      },
      remove: () => rm(folder, { recursive: true, force: true }),
    };
  },
});
