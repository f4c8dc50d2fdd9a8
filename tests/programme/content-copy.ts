import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { contentRoot } from '../../src/programme/load-content.ts';

/** A copy of `flows/` and `locales/` that a test may spoil. */
export interface ContentCopy {
  readonly root: string;
  /** Puts `to` in place of the first `from` in a file. @throws Error when the file does not hold it */
  edit(file: string, from: string, to: string): void;
  remove(): void;
}

export function copyContent(): ContentCopy {
  const root = mkdtempSync(join(tmpdir(), 'content-'));
  for (const folder of ['flows', 'locales'])
    cpSync(join(contentRoot, folder), join(root, folder), { recursive: true });
  return {
    root,
    edit: (file, from, to) => {
      const path = join(root, file);
      const text = readFileSync(path, 'utf8');
      if (!text.includes(from)) throw new Error(`${file} does not hold ${from}`);
      writeFileSync(path, text.replace(from, to));
    },
    remove: () => rmSync(root, { recursive: true, force: true }),
  };
}
