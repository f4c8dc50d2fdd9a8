import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';

const keysSchema = z.object({ sealingKeys: z.string(), linePepper: z.string() });

/** Secrets of a practice line, made once and kept beside its store, so that a restart can open what was kept. */
export function practiceKeys(dataDir: string): { readonly sealingKeys: string; readonly linePepper: string } {
  const file = join(dataDir, 'practice-keys.json');
  if (existsSync(file)) return keysSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
  mkdirSync(dataDir, { recursive: true });
  const keys = {
    sealingKeys: `practice:${randomBytes(32).toString('base64')}`,
    linePepper: randomBytes(24).toString('base64'),
  };
  writeFileSync(file, JSON.stringify(keys), { mode: 0o600 });
  return keys;
}
